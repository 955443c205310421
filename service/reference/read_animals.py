"""Reads the animals and their names: ``taxa.csv`` and ``taxon_names.csv``."""

from importlib.resources.abc import Traversable

from service.reference.entries import ListedTaxon, TaxonName
from service.reference.errors import Breach
from service.reference.rows import EVIDENCE, DataFile, Row, Table, read_table
from service.science.catch import ScoringUse

ALERTS = frozenset({"", "invasive", "invasive-by-region", "photograph", "protected"})
KINDS_OF_NAME = frozenset({"student", "synonym", "genus", "species"})
ADULT = "adult"
TAXA = DataFile(
    "taxa.csv",
    "taxon,rank,order,common_name,ept,rolls_up_to,kind,streamside_group,kind_adult,group_adult,"
    "presence_kind,presence_weight,tolerance,tolerance_source,tolerance_evidence,in_fbi_core,in_fbi_extended,"
    "bmwp,bmwp_unit,bmwp_source,air_breathing,terrestrial,scoring_use,itis_tsn,alert,alert_note,notes",
    ("taxon",),
)
NAMES = DataFile("taxon_names.csv", "name,taxon,candidates,kind_of_name,question,source,evidence", ("name",))


def read_taxa(folder: Traversable, breaches: list[Breach]) -> Table[ListedTaxon]:
    """Return the taxa; faults go to ``breaches``."""
    return read_table(folder, TAXA, _taxon, breaches)


def read_names(folder: Traversable, breaches: list[Breach]) -> Table[TaxonName]:
    """Return the names people write; faults go to ``breaches``."""
    return read_table(folder, NAMES, _name, breaches)


def _taxon(row: Row) -> ListedTaxon:
    kind_adult = row.optional_text("kind_adult")
    group_adult = row.optional_whole("group_adult")
    use = row.choice("scoring_use", {use.value for use in ScoringUse})
    return ListedTaxon(
        name=row.text("taxon"),
        rank=row.text("rank"),
        order=row.text("order"),
        common_name=row.text("common_name"),
        ept=row.yes("ept"),
        rolls_up_to=row.optional_text("rolls_up_to") or None,
        tolerance=row.optional_decimal("tolerance"),
        in_fbi_core=row.yes("in_fbi_core"),
        in_fbi_extended=row.yes("in_fbi_extended"),
        scoring_use=ScoringUse(use) if use in set(ScoringUse) else ScoringUse.EXCLUDE,
        kind=row.optional_text("kind") or None,
        streamside_group=row.optional_whole("streamside_group"),
        kind_by_stage={ADULT: kind_adult} if kind_adult else {},
        group_by_stage={} if group_adult is None else {ADULT: group_adult},
        terrestrial=row.yes("terrestrial"),
        alert=row.choice("alert", ALERTS) or None,
        presence_kind=row.optional_text("presence_kind") or None,
        presence_weight=row.optional_whole("presence_weight"),
        tolerance_source=row.text("tolerance_source"),
        tolerance_evidence=row.choice("tolerance_evidence", EVIDENCE),
        bmwp=row.optional_whole("bmwp"),
        bmwp_unit=row.optional_text("bmwp_unit") or None,
        bmwp_source=row.text("bmwp_source"),
        air_breathing=row.yes("air_breathing"),
        itis_tsn=row.optional_whole("itis_tsn", lowest=1),
        alert_note=row.optional_text("alert_note"),
        notes=row.optional_text("notes"),
    )


def _name(row: Row) -> TaxonName:
    return TaxonName(
        name=row.text("name"),
        taxon=row.optional_text("taxon") or None,
        candidates=row.words("candidates"),
        kind_of_name=row.choice("kind_of_name", KINDS_OF_NAME),
        question=row.optional_text("question"),
        source=row.text("source"),
        evidence=row.evidence(),
    )
