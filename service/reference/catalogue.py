"""All reference data in one frozen object: what is measured, with what, what lives there, and the rules."""

from collections.abc import Mapping
from dataclasses import dataclass

from service.reference.entries import (
    ListedCheck,
    ListedCriterion,
    ListedDefinition,
    ListedKit,
    ListedLimit,
    ListedParameter,
    ListedTaxon,
    TaxonName,
)
from service.reference.taxon_name import Resolution, resolve

EVERY_PARAMETER = "*"


@dataclass(frozen=True, slots=True)
class Catalogue:
    """The reference data, read and found sound.

    ``names`` is what :func:`service.reference.taxon_name.all_names` gives. ``limits`` holds the rows of each
    check. ``definitions`` holds the newest definition of each index, ``all_definitions``
    every one by (index, number). ``version`` names the content of the data files (12 hexadecimal digits), so
    that a stored flag or score can say which data it was made with.
    """

    parameters: Mapping[str, ListedParameter]
    kits: Mapping[str, ListedKit]
    taxa: Mapping[str, ListedTaxon]
    names: Mapping[str, TaxonName]
    checks: Mapping[str, ListedCheck]
    limits: Mapping[str, tuple[ListedLimit, ...]]
    alert_limits: Mapping[str, float]
    criteria: Mapping[str, ListedCriterion]
    definitions: Mapping[str, ListedDefinition]
    all_definitions: Mapping[tuple[str, int], ListedDefinition]
    version: str

    def limits_for(self, check_id: str, parameter: str = EVERY_PARAMETER) -> dict[str, float]:
        """Return the limits of a check by name: those of every parameter, overruled by its own."""
        found: dict[str, float] = {}
        for scope in (EVERY_PARAMETER, parameter):
            found.update(
                (row.limit, row.value) for row in self.limits.get(check_id, ()) if row.parameter == scope
            )
        return found

    def kits_for(self, parameter: str) -> tuple[ListedKit, ...]:
        """Return the kits that measure a parameter, in the order of the file."""
        return tuple(kit for kit in self.kits.values() if kit.parameter == parameter)

    def resolve_taxon(self, written_name: str) -> Resolution:
        """Return the taxon that a written name stands for, the candidates, or near misses."""
        return resolve(written_name, self.taxa, self.names)
