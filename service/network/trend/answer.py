"""Put a trend into its answer."""

from collections.abc import Iterator
from dataclasses import asdict
from math import isfinite

from service.network.schemas import Quantile
from service.network.trend.schemas import (
    AdjustedAnswer,
    ChangeAnswer,
    KendallAnswer,
    LimitsAnswer,
    MonthValue,
    SlopeAnswer,
    TrendAnswer,
)
from service.science.stream_profile_words import amount_words
from service.science.trend.evidence import Evidence, Results
from service.science.trend.judge import Trend
from service.science.trend.sen_slope import Slope
from service.science.trend.verdict import LEVEL, exceeds_one_step
from service.science.trend.wording import DIGITS, Subject, slope_words


def trend_answer(
    trend: Trend, subject: Subject, *, site: str, parameter: str | None, index: str | None
) -> TrendAnswer:
    """Return the answer for a site and one parameter or index."""
    found, unit = trend.evidence, subject.unit
    results, adjusted = found.results, found.results.adjusted if found.results else None
    return TrendAnswer(
        site=site,
        parameter=parameter,
        index=index,
        unit=unit,
        verdict=trend.verdict,
        text=trend.text,
        reasons=list(trend.reasons),
        level=LEVEL,
        method=found.run.method or None,
        kits=sorted({one.kit for one in found.run.observations if one.kit is not None}),
        readings=len(found.run.observations),
        readings_left_out=sum(found.run.left_out.values()),
        years=list(found.years),
        months=list(found.table.months),
        test=KendallAnswer(**asdict(results.test)) if results else None,
        adjusted=AdjustedAnswer(**asdict(adjusted)) if adjusted else None,
        slope=_slope(results.slope, unit) if results else None,
        change=_change(found, results, unit) if results else None,
        limits=_limits(found, unit),
        values=list(_values(found, unit)),
    )


def _slope(slope: Slope, unit: str) -> SlopeAnswer:
    return SlopeAnswer(
        value=_if_one(slope.low, slope.high),
        low=_if_finite(slope.lower),
        high=_if_finite(slope.upper),
        unit=f"{unit} per year".lstrip(),
        text=slope_words(slope, unit),
    )


def _change(found: Evidence, results: Results, unit: str) -> ChangeAnswer:
    return ChangeAnswer(
        value=_if_one(results.change_low, results.change_high),
        unit=unit,
        text=amount_words((results.change_low, results.change_high), unit, DIGITS),
        kit_step=found.step,
        more_than_one_step=exceeds_one_step(found),
    )


def _limits(found: Evidence, unit: str) -> LimitsAnswer | None:
    limit = found.limit
    if limit is None or (limit.lower_limit is None and limit.upper_limit is None):
        return None
    return LimitsAnswer(below=limit.lower_limit, above=limit.upper_limit, unit=unit, changed=limit.changed)


def _values(found: Evidence, unit: str) -> Iterator[MonthValue]:
    for one in found.medians:
        bounds = one.low, one.high
        low, high = map(_if_finite, bounds)
        yield MonthValue(
            year=one.year,
            month=one.month,
            median=Quantile(low=low, high=high, text=amount_words(bounds, unit)),
            readings=one.readings,
            compared=found.results is not None and found.table.holds(one),
        )


def _if_one(low: float, high: float) -> float | None:
    return low if low == high and isfinite(low) else None


def _if_finite(bound: float) -> float | None:
    return bound if isfinite(bound) else None
