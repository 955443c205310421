"""Reads all reference data and refuses it as a whole when anything in it does not fit."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from hashlib import sha256
from importlib.resources import files
from importlib.resources.abc import Traversable

from service.reference.catalogue import Catalogue
from service.reference.entries import (
    AlertLimit,
    ListedCheck,
    ListedCriterion,
    ListedDefinition,
    ListedKit,
    ListedLimit,
    ListedParameter,
    ListedTaxon,
    TaxonName,
)
from service.reference.errors import Breach, ReferenceDataError
from service.reference.fit_animals import name_breaches, taxon_breaches
from service.reference.fit_criteria import criterion_breaches
from service.reference.fit_definitions import band_breaches, definition_breaches, stray_breaches
from service.reference.fit_measures import kit_breaches, parameter_breaches
from service.reference.fit_methods import alert_limit_breaches, check_breaches, limit_breaches
from service.reference.read_animals import read_names, read_taxa
from service.reference.read_criteria import read_criteria
from service.reference.read_measures import read_kits, read_parameters
from service.reference.read_methods import (
    BandRow,
    ConstantRow,
    DefinitionKey,
    read_alert_limits,
    read_bands,
    read_checks,
    read_constants,
    read_definitions,
    read_limits,
)
from service.reference.rows import Row, Table
from service.reference.taxon_name import all_names
from service.science.alerts import NEEDS as ALERT_NEEDS
from service.science.qa.check import Check
from service.science.qa.registry import CHECKS
from service.science.scores.index import AnyIndex
from service.science.scores.registry import INDICES

VERSION_DIGITS = 12


@dataclass(frozen=True, slots=True)
class _Tables:
    parameters: Table[ListedParameter]
    kits: Table[ListedKit]
    taxa: Table[ListedTaxon]
    names: Table[TaxonName]
    checks: Table[ListedCheck]
    limits: Table[ListedLimit]
    alert_limits: Table[AlertLimit]
    criteria: Table[ListedCriterion]
    definitions: Table[ListedDefinition]
    bands: Table[BandRow]
    constants: Table[ConstantRow]


def load_catalogue(folder: Traversable | None = None) -> Catalogue:
    """Return the reference data of a folder; without one, those of the service, read once.

    Raises
    ------
    ReferenceDataError
        With every cell that cannot be read; when all can, with everything that does not fit together.
    """
    return _of_the_service() if folder is None else read_catalogue(folder, CHECKS, INDICES)


@cache
def _of_the_service() -> Catalogue:
    return read_catalogue(files("service.reference").joinpath("data"), CHECKS, INDICES)


def read_catalogue(folder: Traversable, checks: Sequence[Check], indices: Sequence[AnyIndex]) -> Catalogue:
    """Return the reference data of a folder, fitting the given checks and indices; raises as above."""
    faults: list[Breach] = []
    tables = _read(folder, faults)
    _raise_if_any(faults)
    definitions = _assemble(tables)
    _raise_if_any(list(_misfits(tables, definitions, checks, indices)))
    newest = {index: max(number for name, number in definitions if name == index) for index, _ in definitions}
    taxa = {taxon.name: taxon for _, taxon in tables.taxa}
    limits: dict[str, tuple[ListedLimit, ...]] = {}
    for _, limit in tables.limits:
        limits[limit.check] = (*limits.get(limit.check, ()), limit)
    return Catalogue(
        parameters={parameter.id: parameter for _, parameter in tables.parameters},
        kits={kit.code: kit for _, kit in tables.kits},
        taxa=taxa,
        names=all_names(taxa, (entry for _, entry in tables.names)),
        checks={check.id: check for _, check in tables.checks},
        limits=limits,
        alert_limits={entry.name: entry.value for _, entry in tables.alert_limits},
        criteria={criterion.code: criterion for _, criterion in tables.criteria},
        definitions={index: definitions[index, number][1] for index, number in newest.items()},
        all_definitions={key: definition for key, (_, definition) in definitions.items()},
        version=_version(folder),
    )


def _read(folder: Traversable, faults: list[Breach]) -> _Tables:
    return _Tables(
        parameters=read_parameters(folder, faults),
        kits=read_kits(folder, faults),
        taxa=read_taxa(folder, faults),
        names=read_names(folder, faults),
        checks=read_checks(folder, faults),
        limits=read_limits(folder, faults),
        alert_limits=read_alert_limits(folder, faults),
        criteria=read_criteria(folder, faults),
        definitions=read_definitions(folder, faults),
        bands=read_bands(folder, faults),
        constants=read_constants(folder, faults),
    )


def _assemble(tables: _Tables) -> dict[DefinitionKey, tuple[Row, ListedDefinition]]:
    """Return the definitions with their bands, in order of position, and their constants."""
    whole = {}
    for row, definition in tables.definitions:
        key = (definition.index, definition.number)
        bands = sorted((part.position, part) for _, part in tables.bands if part.key == key)
        constants = {part.name: part.value for _, part in tables.constants if part.key == key}
        placed = tuple(part.band for _, part in bands)
        whole[key] = (row, replace(definition, bands=placed, constants=constants))
    return whole


def _misfits(
    tables: _Tables,
    definitions: dict[DefinitionKey, tuple[Row, ListedDefinition]],
    checks: Sequence[Check],
    indices: Sequence[AnyIndex],
) -> Iterator[Breach]:
    parameters = {parameter.id: parameter for _, parameter in tables.parameters}
    keys = frozenset(definitions)
    yield from parameter_breaches(tables.parameters)
    yield from kit_breaches(tables.kits, parameters)
    yield from taxon_breaches(tables.taxa)
    yield from name_breaches(tables.names, {taxon.name: taxon for _, taxon in tables.taxa})
    yield from check_breaches(tables.checks, checks)
    yield from limit_breaches(tables.limits, checks, parameters)
    yield from alert_limit_breaches(tables.alert_limits, ALERT_NEEDS)
    yield from criterion_breaches(tables.criteria, parameters)
    yield from definition_breaches(definitions, indices)
    yield from stray_breaches(tables.bands, keys)
    yield from stray_breaches(tables.constants, keys)
    yield from band_breaches(tables.bands, {key: entry.decimals for key, (_, entry) in definitions.items()})


def _raise_if_any(breaches: Sequence[Breach]) -> None:
    if breaches:
        raise ReferenceDataError(breaches)


def _version(folder: Traversable) -> str:
    digest = sha256()
    for file in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if file.name.endswith(".csv"):
            content = file.read_bytes()
            digest.update(f"{file.name} {len(content)}\n".encode())
            digest.update(content)
    return digest.hexdigest()[:VERSION_DIGITS]
