"""Whether every index has its definitions, and each definition its bands and constants."""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from itertools import pairwise

from service.reference.entries import ListedDefinition
from service.reference.errors import Breach
from service.reference.read_methods import BandRow, ConstantRow, DefinitionKey
from service.reference.rows import Row, Table
from service.science.scores.index import AnyIndex


def definition_breaches(
    definitions: Mapping[DefinitionKey, tuple[Row, ListedDefinition]], indices: Sequence[AnyIndex]
) -> Iterator[Breach]:
    """Yield every index without definition, definition without index, and constant that is missing."""
    registered = {index.id: index for index in indices}
    for row, definition in definitions.values():
        index = registered.get(definition.index)
        if index is None:
            said = f"'{definition.index}' is no index of service/science/scores/registry.py"
            yield row.breach("index", said)
            continue
        for needed in index.needs:
            if needed not in definition.constants:
                said = (
                    f"definition {definition.number} of {index.id} lacks the constant '{needed}'; add a row"
                )
                yield Breach("index_constants.csv", None, "constant", said)
    for missing in registered.keys() - {index for index, _ in definitions}:
        yield Breach("index_definitions.csv", None, "index", f"has no definition of '{missing}'; add one")


def stray_breaches(
    parts: Table[BandRow] | Table[ConstantRow], keys: frozenset[DefinitionKey]
) -> Iterator[Breach]:
    """Yield every band or constant of a definition that is not in ``index_definitions.csv``."""
    for row, part in parts:
        if part.key not in keys:
            index, number = part.key
            yield row.breach(
                "definition", f"definition {number} of '{index}' is not in index_definitions.csv"
            )


def band_breaches(bands: Table[BandRow], decimals: Mapping[DefinitionKey, int]) -> Iterator[Breach]:
    """Yield bands that share a name, overlap, leave a gap, or do not run from one end to the other."""
    by_definition: dict[DefinitionKey, list[tuple[Row, BandRow]]] = {}
    for row, part in bands:
        by_definition.setdefault(part.key, []).append((row, part))
    for key, parts in by_definition.items():
        if key not in decimals:
            continue
        ordered = sorted(parts, key=lambda pair: pair[1].position)
        names = [part.band.name for _, part in ordered]
        for place, (row, part) in enumerate(ordered):
            if part.band.name in names[:place]:
                yield row.breach("band", f"'{part.band.name}' is the name of two bands")
            yield from _bound_breaches(row, part)
        yield from _neighbour_breaches(ordered, Decimal(1).scaleb(-decimals[key]))


def _bound_breaches(row: Row, part: BandRow) -> Iterator[Breach]:
    lower, upper = part.band.lower, part.band.upper
    if lower is not None and upper is not None and lower > upper:
        yield row.breach("lower", "must not be above upper")


def _neighbour_breaches(ordered: Sequence[tuple[Row, BandRow]], step: Decimal) -> Iterator[Breach]:
    """Bands run all upwards or all downwards; the next starts one step of the last decimal further."""
    rising = len(ordered) < 2 or _starts_lower(ordered[0][1], ordered[-1][1])
    for first, second in pairwise(ordered):
        (_, below), (_, above) = (first, second) if rising else (second, first)
        if below.band.upper is None or above.band.lower is None:
            yield second[0].breach("lower", "only the outer ends of the first and the last band may be open")
        elif above.band.lower - below.band.upper != step:
            said = (
                f"'{below.band.name}' ends at {below.band.upper} and '{above.band.name}' starts at"
                f" {above.band.lower}; the next must start {step} higher, without gap or overlap"
            )
            yield second[0].breach("lower", said)


def _starts_lower(first: BandRow, last: BandRow) -> bool:
    if first.band.lower is None or last.band.lower is None:
        return first.band.lower is None
    return first.band.lower < last.band.lower
