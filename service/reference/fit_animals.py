"""Whether the taxa fit each other and every name leads to a taxon."""

from collections.abc import Iterator, Mapping

from service.reference.entries import ListedTaxon, TaxonName
from service.reference.errors import Breach
from service.reference.rows import Row, Table
from service.reference.taxon_name import plain

TOLERANCES = (0, 10)
GROUPS = (1, 3)
PRESENCE_WEIGHTS = (1, 4)
BMWP_SCORES = (1, 10)
FEWEST_CANDIDATES = 2


def taxon_breaches(table: Table[ListedTaxon]) -> Iterator[Breach]:
    """Yield every taxon whose facts contradict each other or the rest of the table."""
    taxa = {taxon.name: taxon for _, taxon in table}
    group_of_kind: dict[str, int] = {}
    weight_of_kind: dict[str, int] = {}
    for row, taxon in table:
        yield from _number_breaches(row, taxon)
        yield from _roll_up_breaches(row, taxon, taxa)
        yield from _kind_breaches(row, taxon, group_of_kind)
        yield from _presence_breaches(row, taxon, weight_of_kind)
        yield from _bmwp_breaches(row, taxon, taxa)
        yield from _use_breaches(row, taxon)


def name_breaches(names: Table[TaxonName], taxa: Mapping[str, ListedTaxon]) -> Iterator[Breach]:
    """Yield every name that leads nowhere, to a choice that is none, or that is written twice."""
    taken = {plain(taxon): "taxa.csv" for taxon in taxa}
    for row, entry in names:
        where = taken.setdefault(plain(entry.name), f"taxon_names.csv, line {row.line}")
        if where != f"taxon_names.csv, line {row.line}":
            yield row.breach("name", f"'{entry.name}' is the same as a name in {where}; keep one of the two")
        if (entry.taxon is None) == (not entry.candidates):
            yield row.breach("taxon", "give one taxon, or none and two or more candidates")
        if entry.candidates and len(set(entry.candidates)) < FEWEST_CANDIDATES:
            yield row.breach("candidates", "a name with one candidate is not ambiguous; give it as the taxon")
        targets = entry.candidates if entry.taxon is None else (entry.taxon,)
        column = "candidates" if entry.taxon is None else "taxon"
        for target in targets:
            if target not in taxa:
                yield row.breach(column, f"'{target}' is not in taxa.csv")


def _number_breaches(row: Row, taxon: ListedTaxon) -> Iterator[Breach]:
    for column, value, (lowest, highest) in (
        ("tolerance", taxon.tolerance, TOLERANCES),
        ("streamside_group", taxon.streamside_group, GROUPS),
        ("group_adult", taxon.group_by_stage.get("adult"), GROUPS),
        ("presence_weight", taxon.presence_weight, PRESENCE_WEIGHTS),
        ("bmwp", taxon.bmwp, BMWP_SCORES),
    ):
        if value is not None and not lowest <= value <= highest:
            yield row.breach(column, f"{value} is outside {lowest} to {highest}")


def _roll_up_breaches(row: Row, taxon: ListedTaxon, taxa: Mapping[str, ListedTaxon]) -> Iterator[Breach]:
    passed = [taxon.name]
    above = taxon.rolls_up_to
    while above is not None:
        if above in passed:
            yield row.breach("rolls_up_to", f"goes in a circle: {' -> '.join([*passed, above])}")
            return
        if above not in taxa:
            # A gap further up is told once, on the line that has it.
            if len(passed) == 1:
                yield row.breach("rolls_up_to", f"'{above}' is not a taxon of this file")
            return
        passed.append(above)
        above = taxa[above].rolls_up_to


def _kind_breaches(row: Row, taxon: ListedTaxon, group_of_kind: dict[str, int]) -> Iterator[Breach]:
    stages = taxon.kind_by_stage.keys() | taxon.group_by_stage.keys()
    pairs = [("kind", taxon.kind, taxon.streamside_group)]
    pairs += [("kind_adult", taxon.kind_by_stage.get(s), taxon.group_by_stage.get(s)) for s in stages]
    for column, kind, group in pairs:
        if (kind is None) != (group is None):
            yield row.breach(column, "a kind needs its group, and a group its kind; give both or neither")
        elif kind is not None and group is not None and group_of_kind.setdefault(kind, group) != group:
            said = f"'{kind}' is in group {group_of_kind[kind]} further up and in group {group} here"
            yield row.breach(column, said)


def _presence_breaches(row: Row, taxon: ListedTaxon, weight_of_kind: dict[str, int]) -> Iterator[Breach]:
    kind, weight = taxon.presence_kind, taxon.presence_weight
    if (kind is None) != (weight is None):
        yield row.breach("presence_kind", "a kind needs its weight, a weight its kind; give both or neither")
    elif kind is not None and weight is not None and weight_of_kind.setdefault(kind, weight) != weight:
        said = f"'{kind}' has weight {weight_of_kind[kind]} further up and {weight} here"
        yield row.breach("presence_weight", said)


def _bmwp_breaches(row: Row, taxon: ListedTaxon, taxa: Mapping[str, ListedTaxon]) -> Iterator[Breach]:
    if taxon.bmwp_unit is None:
        return
    unit = taxa.get(taxon.bmwp_unit)
    if unit is None:
        yield row.breach("bmwp_unit", f"'{taxon.bmwp_unit}' is not a taxon of this file")
    elif unit.bmwp_unit is not None:
        yield row.breach("bmwp_unit", f"{unit.name} is itself counted with {unit.bmwp_unit}; name that one")
    elif taxon.bmwp is None or taxon.bmwp != unit.bmwp:
        yield row.breach("bmwp", f"must be the {unit.bmwp} of {unit.name}, with which it is counted once")


def _use_breaches(row: Row, taxon: ListedTaxon) -> Iterator[Breach]:
    if taxon.in_fbi_core and not taxon.in_fbi_extended:
        yield row.breach("in_fbi_extended", "must be yes, because in_fbi_core is yes")
    if taxon.in_fbi_extended and taxon.tolerance is None:
        yield row.breach("tolerance", "is empty, but in_fbi_extended is yes")
    if (taxon.alert is None) != (not taxon.alert_note):
        yield row.breach("alert_note", "an alert needs a note that says what to do, and a note its alert")
