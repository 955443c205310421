"""The net sample in the terms of science, as it was handed in or as it is stored."""

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from service.reference.catalogue import Catalogue
from service.reference.taxon_name import Matched
from service.science.catch import Catch, CountScheme, Tally
from service.visits.schemas import CatchBody, CountBody
from service.visits.tables import VisitCount


def handed_in_catch(body: CatchBody, catalogue: Catalogue) -> Catch:
    """Return the catch of a body, each name taken for what it stands for."""
    tallies = tuple(_tally(line, catalogue) for line in body.counts)
    return _catch(body.model_dump(mode="json", exclude={"counts"}), tallies, catalogue)


def stored_catch(how: Mapping[str, Any], rows: Iterable[VisitCount], catalogue: Catalogue) -> Catch:
    """Return the catch of a stored revision. ``how`` may lack what an older release did not ask for."""
    tallies = tuple(
        Tally(
            written_name=row.written_name,
            taxon=catalogue.taxa.get(row.taxon) if row.taxon else None,
            count=row.count,
            abundance=row.abundance,
            life_stage=row.life_stage,
        )
        for row in rows
    )
    return _catch(how, tallies, catalogue)


def _catch(how: Mapping[str, Any], tallies: tuple[Tally, ...], catalogue: Catalogue) -> Catch:
    return Catch(
        scheme=CountScheme(how["count_scheme"]),
        tallies=tallies,
        gear=how["gear"],
        minutes=how["minutes"],
        area_m2=how["area_m2"],
        counted_only=_groups(how.get("counted_only") or (), catalogue),
        sorted_share=how.get("sorted_share"),
        jabs=how.get("jabs"),
        mesh_um=how.get("mesh_um"),
    )


def _tally(line: CountBody, catalogue: Catalogue) -> Tally:
    found = catalogue.resolve_taxon(line.taxon)
    matched = found if isinstance(found, Matched) else None
    stage = line.life_stage.value if line.life_stage else matched.life_stage if matched else None
    return Tally(
        written_name=line.taxon,
        taxon=matched.taxon if matched else None,
        count=line.count,
        abundance=line.abundance,
        life_stage=stage,
    )


def _groups(written: Sequence[str], catalogue: Catalogue) -> tuple[str, ...]:
    """Return the plain names of groups. A name that the list has lost since still says: not all animals."""
    found = (catalogue.resolve_taxon(name) for name in written)
    names = (group.taxon.common_name if isinstance(group, Matched) else "some groups" for group in found)
    return tuple(dict.fromkeys(re.sub(r" \(.*\)", "", name) for name in names))
