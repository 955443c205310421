"""Do pH and oxygen tell the same story? Plants in sunlight lift both, so one without the other is strange.

pH needs to stand out before oxygen is looked at: an everyday pH fits any oxygen.
"""

from collections.abc import Iterator

from service.science.derived.oxygen_saturation import oxygen_saturation_of
from service.science.derived.value import Derived
from service.science.flags import Flag
from service.science.qa.check import Limits, ReadingCheck, Stage
from service.science.qa.wording import number_words, rounded_words, written_words
from service.science.types import Censoring, Evidence, Finding, Reading, Visit

ADVICE_OXYGEN = "Next time read dissolved oxygen and the water temperature as well: with pH they tell more."


def run(reading: Reading, visit: Visit, limits: Limits) -> Finding:
    """Compare pH with the time of day and with the percent saturation of oxygen.

    Parameters
    ----------
    reading : pH with its bounds
    visit : gives the local time and oxygen, as percent or as mg/L with the water temperature
    limits : ``ph_high``, ``ph_low``, ``ph_early`` [std units], ``percent_low``, ``percent_high`` [%],
        ``midday_from``, ``midday_to``, ``early_hour`` [h]

    Returns
    -------
    Finding
        3 for a high pH with little oxygen by day, a low pH with much oxygen, or a high pH early in the
        morning, when all that the kits leave open agrees with that and so do all oxygen readings; 2 for a pH
        that stands out where no oxygen is known; else 1.
    """
    hour = visit.observed_at.hour + visit.observed_at.minute / 60
    evidence: Evidence = {"ph": reading.value, "local_time": f"{visit.observed_at:%H:%M}"}
    if hour < limits["early_hour"] and reading.low > limits["ph_early"]:
        return _suspect(reading, _told_early(reading, visit, limits), {**evidence, **limits})
    is_high = reading.low >= limits["ph_high"] and limits["midday_from"] <= hour <= limits["midday_to"]
    is_low = reading.high <= limits["ph_low"]
    if not is_high and not is_low:
        return Finding(Flag.PASS, evidence=evidence)
    percents = list(_percents(visit))
    if not percents:
        message = f"pH {written_words(reading)} was not compared: no usable oxygen was read with it."
        return Finding(Flag.NOT_EVALUATED, message, evidence, ADVICE_OXYGEN)
    evidence = {
        **evidence,
        "percent": round(percents[0].value, 2),
        "percent_censored": percents[0].censored,
        "assumed": "; ".join(percents[0].assumed),
        **limits,
    }
    if is_high and all(percent.high < limits["percent_low"] for percent in percents):
        return _suspect(reading, _told_high(reading, percents[0], visit, limits), evidence)
    if is_low and all(percent.low > limits["percent_high"] for percent in percents):
        return _suspect(reading, _told_low(reading, percents[0], limits), evidence)
    return Finding(Flag.PASS, evidence=evidence)


def _percents(visit: Visit) -> Iterator[Derived]:
    for other in visit.readings:
        if other.parameter == "dissolved_oxygen_saturation":
            bounds = (other.value, "%", other.low, other.high, other.censored)
            yield Derived(other.parameter, *bounds, method="measured")
        elif other.parameter == "dissolved_oxygen":
            computed = oxygen_saturation_of(other, visit)
            if computed is not None:
                yield computed


def _percent_words(percent: Derived) -> str:
    side = {Censoring.BELOW: "less than ", Censoring.ABOVE: "more than ", None: ""}[percent.censored]
    assumed = f" (assumed: {'; '.join(percent.assumed)})" if percent.assumed else ""
    return f"{side}{rounded_words(percent.value)} %{assumed}"


def _told_early(reading: Reading, visit: Visit, limits: Limits) -> str:
    return (
        f"pH {written_words(reading)} at {visit.observed_at:%H:%M} is unusual: plants lift pH above "
        f"{number_words(limits['ph_early'])} only in sunlight, and before "
        f"{number_words(limits['early_hour'])}:00 they had little of it."
    )


def _told_high(reading: Reading, percent: Derived, visit: Visit, limits: Limits) -> str:
    return (
        f"pH {written_words(reading)} at {visit.observed_at:%H:%M} does not fit oxygen of "
        f"{_percent_words(percent)}: plants that lift pH to {number_words(limits['ph_high'])} by day also "
        f"lift oxygen above {number_words(limits['percent_low'])} %."
    )


def _told_low(reading: Reading, percent: Derived, limits: Limits) -> str:
    return (
        f"pH {written_words(reading)} does not fit oxygen of {_percent_words(percent)}: plants that lift "
        f"oxygen above {number_words(limits['percent_high'])} % also lift pH above "
        f"{number_words(limits['ph_low'])}."
    )


def _suspect(reading: Reading, message: str, evidence: Evidence) -> Finding:
    return Finding(
        Flag.SUSPECT,
        message,
        evidence,
        "Test pH again with fresh water in a rinsed tube, then oxygen without a bubble in the bottle. Is the "
        f"time of the visit right? If it is pH {written_words(reading)} again, keep it and look upstream for "
        "fresh concrete, lime, soap or mine water: these change pH without any plants.",
    )


CHECK = ReadingCheck(
    id="oxygen-ph",
    version=1,
    stage=Stage.CONSISTENCY,
    run=run,
    needs=(
        "ph_high",
        "percent_low",
        "midday_from",
        "midday_to",
        "ph_low",
        "percent_high",
        "ph_early",
        "early_hour",
    ),
    parameters=frozenset({"ph"}),
)
