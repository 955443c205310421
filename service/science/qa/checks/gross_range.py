"""Is the number possible for stream water at all, and if so, is it a usual one?

The shape of the test (an inner and an outer span, both inclusive) is the gross range test of the U.S. IOOS
QARTOD manuals; the spans are rows of ``qa_limits.csv``, each with its source.
"""

from service.science.flags import Flag
from service.science.qa.check import Limits, ReadingCheck, Stage
from service.science.qa.wording import number_words, parameter_words, sentence, unit_words, written_words
from service.science.types import Censoring, Finding, Reading, Visit

READ_AGAIN = "Read it again now and look at the decimal point and the unit."
ADVICE = {
    "water_temperature": "Read it again while it is in the water. Does it show °F? Then send the unit degF.",
    "ph": "Repeat the test with fresh water in a rinsed tube and look at the decimal point.",
    "dissolved_oxygen": "Repeat the test and wait the full time. Is the number mg/L, not percent or drops?",
    "dissolved_oxygen_saturation": "Read it again, and look whether the number is percent and not mg/L.",
    "transparency": "Fill the tube again and read it in the shade. Write centimetres, not inches.",
    "specific_conductance": "Read it again, and look whether the meter shows µS/cm or mS/cm.",
    "conductivity": "Read it again, and look whether the meter shows µS/cm or mS/cm.",
    "nitrate": "Repeat the test, and look on the kit whether it reads as N or as NO3.",
    "phosphate": "Repeat the test, and look on the kit whether it reads as P or as PO4.",
    "e_coli": "Count again, and check that the count was scaled to 100 mL.",
    "barometric_pressure": "Read it again and look at the unit: hPa, mmHg, inHg, kPa and atm differ a lot.",
}
KEEP_IT = "If you get the same again, keep it, send it and tell your coordinator."


def run(reading: Reading, visit: Visit, limits: Limits) -> Finding:
    """Compare a reading with the possible and the usual span of its parameter.

    Parameters
    ----------
    reading : value [unit of storage]
    visit : not used; a single reading is enough
    limits : ``fail_low``, ``fail_high``, ``suspect_low``, ``suspect_high`` [unit of storage], inclusive

    Returns
    -------
    Finding
        4 outside the possible span, 3 outside the usual span, else 1. Of a censored reading only the certain
        side counts: "< 4" says nothing against a true value of 3.
    """
    evidence = {"value": reading.value, "censored": reading.censored, **limits}
    if _is_outside(reading, limits["fail_low"], limits["fail_high"]):
        return Finding(
            Flag.FAIL,
            f"{_told(reading)} is not possible in a stream: the possible range is "
            f"{_span(reading, limits['fail_low'], limits['fail_high'])}.",
            evidence,
            f"{_advice(reading)} Until then this number is not used.",
        )
    if _is_outside(reading, limits["suspect_low"], limits["suspect_high"]):
        return Finding(
            Flag.SUSPECT,
            f"{_told(reading)} is rare in a stream: readings are nearly always "
            f"{_span(reading, limits['suspect_low'], limits['suspect_high'])}.",
            evidence,
            f"{_advice(reading)} {KEEP_IT}",
        )
    return Finding(Flag.PASS, evidence=evidence)


def _is_outside(reading: Reading, low: float, high: float) -> bool:
    if reading.censored is Censoring.BELOW:
        return reading.value <= low
    if reading.censored is Censoring.ABOVE:
        return reading.value >= high
    return not low <= reading.value <= high


def _told(reading: Reading) -> str:
    return sentence(f"{parameter_words(reading.parameter)} {written_words(reading)}")


def _span(reading: Reading, low: float, high: float) -> str:
    return f"{number_words(low)} to {number_words(high)}{unit_words(reading.unit)}"


def _advice(reading: Reading) -> str:
    return ADVICE.get(reading.parameter, READ_AGAIN)


CHECK = ReadingCheck(
    id="gross-range",
    version=1,
    stage=Stage.SCALE,
    run=run,
    needs=("fail_low", "fail_high", "suspect_low", "suspect_high"),
)
