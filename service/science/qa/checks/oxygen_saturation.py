"""Can the water hold this much oxygen, and has it this little? Judged as percent of saturation.

A coarse kit spans a wide range of percent, so a reading is suspect only when the whole range that its kit and
the thermometer leave open is out of the limits.
"""

import math

from service.science.derived.oxygen_saturation import oxygen_saturation_of
from service.science.derived.value import Derived
from service.science.flags import Flag
from service.science.qa.check import Limits, ReadingCheck, Stage
from service.science.qa.wording import number_words, rounded_words, written_words
from service.science.types import Evidence, Finding, Reading, Visit

ADVICE_HIGH = (
    "Repeat the test: fill the bottle under water and tap it so that no bubble stays in. Look whether the "
    "number is mg/L, not percent and not drops. If it is the same again, keep it and write down whether "
    "thick algae or water plants stand in the sun here: they can really do this."
)
ADVICE_LOW = (
    "Repeat the test: take the water from the flow, not from a still corner, and wait the full time before "
    "you compare the colour. A riffle brings oxygen in; rotting leaves, dead plants or sewage use it up. If "
    "it is the same again, keep it, write down what you see and smell, and tell your coordinator today."
)
ADVICE_EARLY = (
    "Look whether the time of the visit is right, and repeat the test without a bubble in the bottle. Plants "
    "make oxygen only in daylight: it is lowest around dawn and highest late in the afternoon."
)
ADVICE_TEMPERATURE = (
    "Take the water temperature at the same place (a full minute in the water, read while it is still in) "
    "and send it with this visit."
)


def run(reading: Reading, visit: Visit, limits: Limits) -> Finding:
    """Compare the oxygen reading with what the water can hold at its temperature and the site's pressure.

    Parameters
    ----------
    reading : dissolved oxygen [mg/L] with its bounds, or percent of saturation from a meter [%]
    visit : gives the water temperature, pressure and conductance where measured, the site, the local time
    limits : ``percent_low``, ``percent_high``, ``percent_error``, ``percent_early`` [%], ``early_hour`` [h]

    Returns
    -------
    Finding
        3 when the whole span lies outside ``percent_low`` to ``percent_high``, or above ``percent_early``
        before ``early_hour`` by the site's clock; 2 without a usable temperature; else 1.
    """
    if reading.parameter == "dissolved_oxygen_saturation":
        bounds = (reading.value, "%", reading.low, reading.high, reading.censored)
        measured = Derived(reading.parameter, *bounds, method="measured")
        return _judge("Dissolved oxygen", measured, None, visit, limits)
    temperature = visit.beside(reading, "water_temperature")
    if temperature is None:
        return Finding(
            Flag.NOT_EVALUATED,
            "Not compared with what the water can hold: that needs a water temperature that passed its own "
            "checks, and this visit has none.",
            advice=ADVICE_TEMPERATURE,
        )
    subject = f"Dissolved oxygen {written_words(reading)} at {written_words(temperature)}"
    try:
        percent = oxygen_saturation_of(reading, visit)
    except ValueError:
        percent = None
    if percent is None:
        return Finding(
            Flag.NOT_EVALUATED,
            f"{subject} was not compared with what the water can hold: the formula needs water of 0 to 40 °C "
            "that is not saltier than the sea, and a site below some 5000 m.",
            {"temperature_c": temperature.value, "elevation_m": visit.site.elevation_m},
        )
    return _judge(subject, percent, temperature, visit, limits)


def _judge(
    subject: str, percent: Derived, temperature: Reading | None, visit: Visit, limits: Limits
) -> Finding:
    told = f"{subject} is {_percent_words(percent)} of what the water can hold"
    evidence = _evidence(percent, temperature, visit, limits)
    assumed = f" (Assumed: {'; '.join(percent.assumed)}.)" if percent.assumed else ""
    usual = f"{number_words(limits['percent_low'])} to {number_words(limits['percent_high'])} %"
    if percent.low > limits["percent_high"]:
        error = " This is very likely an error." if percent.low > limits["percent_error"] else ""
        message = f"{told}; in streams it is nearly always {usual}.{error}{assumed}"
        return Finding(Flag.SUSPECT, message, evidence, ADVICE_HIGH)
    if percent.high < limits["percent_low"]:
        message = f"{told}; in flowing streams it is nearly always {usual}.{assumed}"
        return Finding(Flag.SUSPECT, message, evidence, ADVICE_LOW)
    if visit.observed_at.hour < limits["early_hour"] and percent.low > limits["percent_early"]:
        early = f"as early as {visit.observed_at:%H:%M} more than {number_words(limits['percent_early'])} %"
        return Finding(Flag.SUSPECT, f"{told}; {early} is unusual.{assumed}", evidence, ADVICE_EARLY)
    return Finding(Flag.PASS, f"{told}.", evidence)


def _percent_words(percent: Derived) -> str:
    if math.isinf(percent.high):
        return f"more than {rounded_words(percent.low)} %"
    if percent.censored is not None:
        return f"less than {rounded_words(percent.high)} %"
    low, high = rounded_words(percent.low), rounded_words(percent.high)
    spread = f" (with this kit: {low} to {high} %)" if low != high else ""
    return f"{rounded_words(percent.value)} %{spread}"


def _evidence(percent: Derived, temperature: Reading | None, visit: Visit, limits: Limits) -> Evidence:
    return {
        "percent": None if percent.censored else round(percent.value, 2),
        "percent_from": round(percent.low, 2),
        "percent_to": None if math.isinf(percent.high) else round(percent.high, 2),
        "percent_lowest": limits["percent_low"],
        "percent_highest": limits["percent_high"],
        "temperature_c": None if temperature is None else temperature.value,
        "elevation_m": visit.site.elevation_m,
        "local_time": f"{visit.observed_at:%H:%M}",
        "method": percent.method,
        "assumed": "; ".join(percent.assumed),
    }


CHECK = ReadingCheck(
    id="oxygen-saturation",
    version=1,
    stage=Stage.CONSISTENCY,
    run=run,
    needs=("percent_low", "percent_high", "percent_error", "percent_early", "early_hour"),
    parameters=frozenset({"dissolved_oxygen", "dissolved_oxygen_saturation"}),
)
