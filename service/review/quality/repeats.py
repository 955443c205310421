"""Readings of the same water held against each other: duplicates of one kit, and a kit against a meter."""

from collections import defaultdict
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product
from statistics import median

from service.review.quality.answers import DuplicateRow, KitAgainstMeterRow
from service.science.precision import agree_within_steps, pooled_sd, rpd, split_sample_bias
from service.science.types import Kit, Reading, VisitKind
from service.science.units import convert
from service.visits.stored_reading import stored_reading
from service.visits.tables import Visit, VisitReading

METER = "meter"
RELATIVE_KINDS = frozenset({"titrator", METER})  # one step of a coarser kit is a large percentage
SAME_VISIT = "same-visit"
BY_A_SECOND_VISIT = VisitKind.FIELD_REPLICATE.value
NEWEST_PAIRS = 1000  # the median of all means of two differences grows with the square of the pairs

Pair = tuple[Reading, Reading]


@dataclass(frozen=True, slots=True)
class Measured:
    """A reading with its kit, and the visit that it belongs to."""

    reading: Reading
    kit: Kit
    visit: Visit


def measured(rows: Iterable[tuple[VisitReading, Visit]], kits: Mapping[str, Kit]) -> list[Measured]:
    """Return stored readings in the terms of science; what is not known of its kit is left out."""
    found = []
    for row, visit in rows:
        kit = kits.get(row.kit or "")
        reading = stored_reading(row, kit)
        if kit is not None and reading is not None:
            found.append(Measured(reading, kit, visit))
    return found


def duplicate_rows(readings: Sequence[Measured]) -> list[DuplicateRow]:
    """Return how well duplicates agree, by parameter, kit and how they were made.

    Every reading enters one pair of a kind at most, so that the pairs are independent.
    """
    pairs: defaultdict[tuple[str, str, str], list[Pair]] = defaultdict(list)
    for (_, parameter, kit), twice in _grouped(readings, by_visit=True).items():
        pairs[parameter, kit, SAME_VISIT] += zip(twice[::2], twice[1::2], strict=False)
    routine = [one for one in readings if one.visit.kind is VisitKind.ROUTINE]
    second = _grouped(
        [one for one in readings if one.visit.kind is VisitKind.FIELD_REPLICATE], by_visit=False
    )
    for key, first in _grouped(routine, by_visit=False).items():
        _, parameter, kit = key
        pairs[parameter, kit, BY_A_SECOND_VISIT] += zip(first, second.get(key, []), strict=False)
    return [_duplicates(*key, found) for key, found in sorted(pairs.items()) if found]


def _grouped(
    readings: Iterable[Measured], *, by_visit: bool
) -> dict[tuple[Hashable, str, str], list[Reading]]:
    """Gather the readings of one parameter with one kit, of a visit or of a site's day."""
    grouped: defaultdict[tuple[Hashable, str, str], list[Reading]] = defaultdict(list)
    for one in readings:
        place = one.visit.id if by_visit else (one.visit.site, one.visit.observed_on)
        grouped[place, one.reading.parameter, one.kit.code].append(one.reading)
    return grouped


def _numbers(pairs: Iterable[Pair]) -> list[tuple[float, float]]:
    return [(first.value, second.value) for first, second in pairs if not (first.censored or second.censored)]


def _duplicates(parameter: str, kit: str, how: str, pairs: Sequence[Pair]) -> DuplicateRow:
    firm = [(first, second) for first, second in pairs if not (first.censored or second.censored)]
    numbers = _numbers(firm)
    method = pairs[0][0].kit
    relative = method is not None and method.kind in RELATIVE_KINDS and parameter != "ph"
    apart = {"0": 0, "1": 0, "2": 0, "more": 0}
    for first, second in firm:
        fewest = (str(steps) for steps in range(3) if agree_within_steps(first, second, steps))
        apart[next(fewest, "more")] += 1
    return DuplicateRow(
        parameter=parameter,
        kit=kit,
        how=how,
        unit=pairs[0][0].unit,
        pairs=len(pairs),
        censored=len(pairs) - len(firm),
        steps_apart=apart,
        share_within_one_step=_share_agreeing(pairs),
        pooled_sd=pooled_sd(numbers) if numbers else None,
        median_rpd_percent=median(rpd(*two) for two in numbers) if relative and numbers else None,
    )


def _share_agreeing(pairs: Sequence[Pair]) -> float:
    return sum(agree_within_steps(first, second) for first, second in pairs) / len(pairs)


def kit_against_meter_rows(readings: Sequence[Measured]) -> list[KitAgainstMeterRow]:
    """Return how each kit differs from each meter that read the same parameter in the same visits."""
    kinds = {one.kit.code: one.kit.kind for one in readings}
    by_water: defaultdict[tuple[Hashable, str], dict[str, list[Reading]]] = defaultdict(dict)
    for (visit_id, parameter, kit), found in _grouped(readings, by_visit=True).items():
        by_water[visit_id, parameter][kit] = found
    pairs: defaultdict[tuple[str, str, str], list[Pair]] = defaultdict(list)
    for (_, parameter), by_kit in by_water.items():
        for meter, kit in product(by_kit, by_kit):
            if kinds[meter] == METER and kinds[kit] != METER:
                pairs[parameter, kit, meter] += zip(by_kit[meter], by_kit[kit], strict=False)
    return [_against_meter(*key, found[-NEWEST_PAIRS:]) for key, found in sorted(pairs.items())]


def _against_meter(parameter: str, kit: str, meter: str, pairs: Sequence[Pair]) -> KitAgainstMeterRow:
    numbers = [(reference, value) for reference, value in _numbers(pairs) if reference > 0]
    bias = split_sample_bias(numbers) if len(numbers) > 1 else None
    return KitAgainstMeterRow(
        parameter=parameter,
        kit=kit,
        meter=meter,
        unit=pairs[0][0].unit,
        pairs=len(pairs),
        share_within_one_step=_share_agreeing([(_on_scale_of(read, by), read) for by, read in pairs]),
        uncensored=len(numbers),
        mean_bias=bias.mean if bias else None,
        sd=bias.sd if bias else None,
        lower_limit=bias.lower_limit if bias else None,
        upper_limit=bias.upper_limit if bias else None,
        hodges_lehmann=bias.hodges_lehmann if bias else None,
    )


def _on_scale_of(reading: Reading, by_meter: Reading) -> Reading:
    """Return what the meter read as if it stood on the scale of the kit."""
    kit = reading.kit
    assert kit is not None  # only readings with a kit are compared
    return replace(by_meter, kit=kit, kit_value=convert(by_meter.value, by_meter.unit, kit.unit))
