"""What a metric must be before reference visits are looked at: known, the right way round, bounded."""

from collections.abc import Iterator, Mapping

from service.core.errors import FieldError
from service.network.reference_condition.schemas import IndexBody, MetricBody
from service.science.scores.index import Definition
from service.science.scores.registry import CATCH_INDICES

_CATCH_INDICES = tuple(index.id for index in CATCH_INDICES)


def metric_errors(body: IndexBody, definitions: Mapping[str, Definition]) -> Iterator[FieldError]:
    """Yield what is wrong with each metric."""
    for place, metric in enumerate(body.metrics):
        here = f"/metrics/{place}"
        if metric.index not in _CATCH_INDICES:
            known = ", ".join(_CATCH_INDICES)
            yield FieldError(f"{here}/index", f"{metric.index} is no index of the catch; these are: {known}")
            continue
        definition = definitions[metric.index]
        small_is_good = _small_is_good(definition)
        if small_is_good is not None and small_is_good != metric.rises_with_disturbance:
            way = "rises" if small_is_good else "falls"
            told = f"the bands of {metric.index} say that it {way} with disturbance"
            yield FieldError(f"{here}/rises_with_disturbance", told)
        elif worst_of(metric, definition) is None:
            told = f"say the worst that {metric.index} can be, such as 100 for a share in percent"
            yield FieldError(f"{here}/worst_value", told)


def worst_of(metric: MetricBody, definition: Definition) -> float | None:
    """Return the worst that a metric can be [its unit]: as given, by its bands, or 0; ``None``: not known."""
    if metric.worst_value is not None:
        return metric.worst_value
    if metric.rises_with_disturbance:
        ends = [band.upper for band in definition.bands]
        closed = [end for end in ends if end is not None]
        return float(max(closed)) if closed and len(closed) == len(ends) else None
    ends = [band.lower for band in definition.bands]
    closed = [end for end in ends if end is not None]
    return float(min(closed)) if closed and len(closed) == len(ends) else 0.0


def _small_is_good(definition: Definition) -> bool | None:
    """Tell by the bands, which run from the best to the worst; ``None`` without any."""
    if len(definition.bands) < 2:
        return None
    best, worst = definition.bands[0].lower, definition.bands[-1].lower
    return best is None or (worst is not None and best < worst)
