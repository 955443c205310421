"""Rows of the reference data as the service lists them: what the science reads, plus where it comes from.

The first five extend a type of ``service.science`` and can be handed to a check or an index as they are.
"""

from dataclasses import dataclass

from service.science.catch import Taxon
from service.science.criterion import Criterion
from service.science.qa.check import Stage
from service.science.scores.index import Definition
from service.science.types import Kit, Parameter


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedParameter(Parameter):
    """A parameter with its bounds of physical sense [unit of storage] and its name in the WQX standard.

    ``wqx_unit`` is ``"None"`` where the standard writes that word; ``wqx_speciation`` ("as N") is empty where
    it has none. ``measured`` is false for what the class works out from other measurements.
    """

    wqx_unit: str
    wqx_speciation: str
    physical_min: float
    physical_max: float
    measured: bool
    source: str
    evidence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedKit(Kit):
    """A kit with one or two plain sentences on how to read it right."""

    instructions: str
    source: str
    evidence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedTaxon(Taxon):
    """A taxon with the facts that no index of the catch type reads, and the source of its values.

    ``itis_tsn`` is an older taxonomic serial number. ``alert_note`` says what to do about an alert.
    """

    tolerance_source: str
    tolerance_evidence: str
    bmwp_source: str
    air_breathing: bool
    itis_tsn: int | None
    alert_note: str
    notes: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedDefinition(Definition):
    """A numbered definition of an index with its title, its input and its source."""

    title: str
    input: str
    source: str
    evidence: str
    notes: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedCriterion(Criterion):
    """A default criterion, used where the network has set none of its parameter.

    ``water_class`` is ``None`` where it is for every stream. ``statement`` says what it really is: the mean
    or the lowest value over which time.
    """

    water_class: str | None
    statement: str
    evidence: str


@dataclass(frozen=True, slots=True)
class TaxonName:
    """A name people write. It stands for one ``taxon``, or for none and then it has ``candidates``.

    ``question`` is what to ask the class when the name leaves something open, else empty.
    """

    name: str
    taxon: str | None
    candidates: tuple[str, ...]
    kind_of_name: str
    question: str
    source: str
    evidence: str


@dataclass(frozen=True, slots=True)
class ListedCheck:
    """The public description of a check. ``scope`` is ``reading`` or ``visit``."""

    id: str
    version: int
    scope: str
    stage: Stage
    title: str
    looks_for: str
    source: str
    evidence: str


@dataclass(frozen=True, slots=True)
class ListedLimit:
    """One threshold of a check [``unit``]. A ``parameter`` of ``*`` stands for every parameter."""

    check: str
    parameter: str
    limit: str
    value: float
    unit: str
    source: str
    evidence: str


@dataclass(frozen=True, slots=True)
class AlertLimit:
    """A limit beyond which a reading cannot wait [``unit``]."""

    name: str
    value: float
    unit: str
