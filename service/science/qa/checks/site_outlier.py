"""Is this reading far from what the same site showed at this time of year? Never more than suspect.

A real spill looks like a slip of the pen, so the answer asks a person and rejects nothing.

References are readings of the same kind of method only: a card in steps of 4 mg/L and a titrator differ by
their steps, not by the stream. Of several readings of one day the middle one counts, since they know one
state of the stream. On a scale of marks they must come from the same kit, because the third mark
of one card is not the third of another. Rather than mix methods the check says "not evaluated". Limits within
a kind (tubes of 60 and of 120 cm) are cut at the narrower one, and the evidence says how many were.
"""

from collections.abc import Sequence
from dataclasses import replace
from statistics import median

from service.science.flags import Flag
from service.science.qa.check import Limits, ReadingCheck, Stage
from service.science.qa.comparison_scale import Scale
from service.science.qa.robust_reference import Centre, Judgement, Neighbourhood, centre_of, judge
from service.science.qa.seasonal_window import one_a_day, season_distance_days, seasonal_references
from service.science.qa.wording import (
    number_words,
    parameter_words,
    rounded_words,
    sentence,
    unit_words,
    written_words,
)
from service.science.types import Censoring, Evidence, Finding, PastReading, Reading, Visit
from service.science.units import convert, convert_difference

MOVED_BY_RAIN = frozenset(
    {"transparency", "turbidity", "e_coli", "water_depth", "current_velocity", "discharge"}
)
NEIGHBOURS_WANTED = 3
ADVICE = (
    "Read it again now, step by step, and look at the decimal point and the unit. If it stays the same, "
    "keep it: it may be real. "
    "Write down what is different today (colour, smell, foam, work upstream)."
)
ADVICE_RAIN = "Write down how much rain fell in the last 48 hours: rain alone can do this."


def run(reading: Reading, visit: Visit, limits: Limits) -> Finding:
    """Compare a reading with the site's own past of the season, and with its neighbours' same week.

    Parameters
    ----------
    reading : value [unit of storage], censored or not
    visit : gives the local date, the conditions, the site's history and its neighbours' anomalies
    limits : ``window_1_days``.. [d], ``residual_window_days`` [d], ``c_8``.. [spreads by number of
        references], ``anomaly_references`` [readings], ``floor`` [unit of storage, or log10 of it where
        ``log10_scale`` is 1], ``level_floor`` [marks], ``step_floor`` [steps of the kit]

    Returns
    -------
    Finding
        3 when far from usual and not explained by what its neighbours did, 2 with too few references, else
        1. The evidence holds ``anomaly``, the distance from the site's median, from few references on, and
        ``residual``, what is left of it after the median anomaly of the neighbours.
    """
    history = visit.history.get(reading.parameter, ())
    thresholds = {int(name[2:]): value for name, value in limits.items() if name.startswith("c_")}
    windows = sorted(value for name, value in limits.items() if name.startswith("window_"))
    needed = min(thresholds)
    same_method = [past for past in history if _is_same_method(past, reading)]
    comparable = one_a_day(same_method)
    references, window = seasonal_references(comparable, visit.observed_at.date(), windows, needed)
    too_few = _too_few(len(references), needed, len(history) - len(same_method), window)
    if len(references) < limits["anomaly_references"]:
        return too_few
    scale = _scale_of(reading, limits)
    try:
        values = [(past.value, past.censored) for past in references]
        *points, point = scale.points([*values, (reading.value, reading.censored)])
        centre = centre_of(points, scale.floor)
    except ValueError as reason:
        message = "Not compared with earlier readings: their limits leave nothing to compare."
        return Finding(Flag.NOT_EVALUATED, message, {"references": len(references), "reason": str(reason)})
    around = _neighbourhood(reading, visit, comparable, limits["residual_window_days"])
    moved = _moved(point.value, centre, around)
    if len(references) < needed:
        return replace(too_few, evidence={**too_few.evidence, **moved})
    judgement = judge(point, centre, scale.floor, thresholds, around)
    evidence = {**_evidence(reading, scale, centre, judgement, window), **moved}
    return _answer(reading, visit, evidence, _usual_words(reading, scale, centre), judgement)


def _neighbourhood(
    reading: Reading, visit: Visit, comparable: Sequence[PastReading], window_days: float
) -> Neighbourhood:
    """Return the neighbours' anomalies of the week and the site's own residuals of the season."""
    kit = reading.kit
    anomalies = tuple(
        near.anomaly
        for near in visit.neighbours.get(reading.parameter, ())
        if near.kind == (kit.kind if kit else None) and (kit is None or not kit.marks or near.kit == kit.code)
    )
    on = visit.observed_at.date()
    residuals = tuple(
        past.residual
        for past in comparable
        if past.residual is not None and season_distance_days(past.on, on) <= window_days
    )
    return Neighbourhood(anomalies, residuals)


def _moved(place: float, centre: Centre, around: Neighbourhood) -> Evidence:
    """Return how far the reading is from the site's median, and from what its neighbours did.

    A censored reading stands at its limit. Where the median is only known to lie beyond a limit, the anomaly
    is the least that the stream can have moved: enough to tell the neighbours of a storm.
    """
    anomaly = place - centre.median
    if centre.censored is Censoring.ABOVE:
        anomaly = min(anomaly, 0.0)
    if centre.censored is Censoring.BELOW:
        anomaly = max(anomaly, 0.0)
    has_residual = centre.censored is None and len(around.anomalies) >= NEIGHBOURS_WANTED
    return {
        "anomaly": anomaly,
        "neighbours": len(around.anomalies),
        "residual": anomaly - median(around.anomalies) if has_residual else None,
    }


def _is_same_method(past: PastReading, reading: Reading) -> bool:
    if reading.kit is None:
        return past.kind is None
    if reading.kit.marks:
        return past.kit == reading.kit.code
    return past.kind == reading.kit.kind


def _scale_of(reading: Reading, limits: Limits) -> Scale:
    kit = reading.kit
    if kit is not None and kit.marks:
        marks = tuple(convert(mark, kit.unit, reading.unit) for mark in kit.marks)
        return Scale("level", limits["level_floor"], marks)
    if limits.get("log10_scale"):
        return Scale("log10", limits["floor"])
    if kit is None or kit.step is None:
        return Scale("value", limits["floor"])
    step = convert_difference(kit.step, kit.unit, reading.unit)
    return Scale("value", max(limits["floor"], limits["step_floor"] * step))


def _too_few(found: int, needed: int, other_methods: int, window: float) -> Finding:
    others = " Readings with other kits are not mixed in." if other_methods else ""
    return Finding(
        Flag.NOT_EVALUATED,
        f"Too early to say what is usual here: readings of this kind from {needed} earlier days at this time "
        f"of year are needed, and there are {found}.{others}",
        {
            "references": found,
            "references_needed": needed,
            "readings_with_other_methods": other_methods,
            "window_days": window,
        },
    )


def _evidence(
    reading: Reading, scale: Scale, centre: Centre, judgement: Judgement, window: float
) -> Evidence:
    return {
        "usual": scale.back(centre.median),
        "usual_censored": centre.censored,
        "unit": reading.unit,
        "scale": scale.name,
        "median": centre.median,
        "mad": centre.mad,
        "floor": scale.floor,
        "spread": centre.spread,
        "references": centre.count,
        "references_cut_at_common_limit": centre.cut,
        "window_days": window,
        "method": reading.kit.kind if reading.kit else None,
        "z_own": round(judgement.z_own, 4),
        "threshold": round(judgement.threshold_own, 4),
        "z_residual": None if judgement.z_residual is None else round(judgement.z_residual, 4),
        "threshold_residual": judgement.threshold_residual,
    }


def _answer(reading: Reading, visit: Visit, evidence: Evidence, usual: str, judgement: Judgement) -> Finding:
    told = sentence(f"{parameter_words(reading.parameter)} {written_words(reading)}")
    usual = f"{usual} on {evidence['references']} earlier days at this time of year"
    by_neighbours = judgement.z_residual is not None
    if not judgement.suspect:
        if by_neighbours and judgement.z_own > judgement.threshold_own:
            shared = f"the {evidence['neighbours']} sites nearby that were read this week moved the same way"
            return Finding(Flag.PASS, f"{told} is unusual here ({usual}), but {shared}.", evidence)
        return Finding(Flag.PASS, f"{told} fits this site: {usual}.", evidence)
    message = f"{told} is far from what is usual at this site: {usual}."
    if by_neighbours:
        message += (
            f" The {evidence['neighbours']} sites nearby that were read this week did not move like that."
        )
    advice = ADVICE
    if reading.parameter in MOVED_BY_RAIN:
        rain_mm = visit.conditions.get("rain_48h_mm")
        if isinstance(rain_mm, int | float) and rain_mm > 0:
            message += f" The {number_words(rain_mm)} mm of rain that you noted may explain it."
        elif rain_mm is None:
            advice = f"{ADVICE} {ADVICE_RAIN}"
    return Finding(Flag.SUSPECT, message, evidence, advice)


def _usual_words(reading: Reading, scale: Scale, centre: Centre) -> str:
    """Tell what is usual in the unit that the class wrote."""
    usual = convert(scale.back(centre.median), reading.unit, reading.written_unit)
    how = "about"
    if centre.censored is not None:
        how = "less than" if centre.censored is Censoring.BELOW else "more than"
    return f"{how} {rounded_words(usual)}{unit_words(reading.written_unit)}"


CHECK = ReadingCheck(
    id="site-outlier",
    version=1,
    stage=Stage.STATISTICS,
    run=run,
    needs=(
        "floor",
        "level_floor",
        "step_floor",
        "window_1_days",
        "residual_window_days",
        "anomaly_references",
        "c_8",
    ),
)
