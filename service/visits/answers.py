"""A visit as it is answered: flags, what was found, derived values and scores, each number with its unit."""

from datetime import date, datetime
from typing import Annotated, Any, Literal
from uuid import UUID

from pydantic import Field

from service.core.schema import Answer
from service.science.types import VisitKind
from service.sites.schemas import WatershedAnswer
from service.visits.gauging_body import BottlesBody, GaugingBody
from service.visits.schemas import VisitBody
from service.visits.tables import State

FlagNumber = Annotated[
    Literal[1, 2, 3, 4, 9],
    Field(description="IODE/QARTOD primary flag: 1 pass, 2 not evaluated, 3 suspect, 4 fail, 9 missing."),
]
Mark = Annotated[Literal["<", ">"] | None, Field(description="The true value is below or above the value.")]


class SlipAnswer(Answer):
    """A slip that would explain a suspect value, and the value it would then be. Nothing was changed."""

    kind: str
    would_be: Annotated[float | None, Field(description="Unit of storage; null: no number can be told.")]


class CheckAnswer(Answer):
    """What one check said."""

    check: str
    version: int
    flag: FlagNumber
    message: str
    evidence: dict[str, Any]
    advice: str
    likely_slip: SlipAnswer | None


class WrittenAnswer(Answer):
    """A reading as the class wrote it."""

    value: float | None
    unit: str
    censored: Mark


class ReadingAnswer(Answer):
    """One reading: the value that counts in the unit of storage, its interval, its flag and why."""

    parameter: str
    replicate: int
    value: float | None
    unit: str
    censored: Mark
    low: Annotated[float | None, Field(description="Lower end of where the true value lies; null: open.")]
    high: Annotated[float | None, Field(description="Upper end of where the true value lies; null: open.")]
    kit: str | None
    kit_lot: Annotated[str | None, Field(description="Null for others than the school itself.")]
    written: WrittenAnswer
    flag: FlagNumber
    checks_flag: Annotated[
        FlagNumber, Field(description="What the checks said together; `flag` differs where a person decided.")
    ]
    accepted: Annotated[bool, Field(description="A person let this suspect reading stand.")]
    checks: list[CheckAnswer]


class CountAnswer(Answer):
    """One line of the catch: the name as written, what it was taken for, and what to ask if that is open."""

    written_name: str
    taxon: str | None
    life_stage: str | None
    count: int | None
    abundance: str | None
    question: str


class CatchAnswer(Answer):
    """The net sample."""

    gear: str | None
    minutes: float | None
    area_m2: float | None
    jabs: int | None = None
    mesh_um: float | None = None
    sorted_share: Annotated[
        float | None, Field(description="Part of the sample that was sorted; 1: all.")
    ] = None
    counted_only: Annotated[
        list[str] | None, Field(description="The groups that alone were counted; null: all animals.")
    ] = None
    count_scheme: str
    counts: list[CountAnswer]


class DerivedAnswer(Answer):
    """A value computed from the readings."""

    parameter: str
    value: float
    unit: str
    censored: Mark
    low: float | None
    high: float | None
    method: str
    assumed: list[str]


class ScoreAnswer(Answer):
    """A score with its doubt: interval, the chance of each band, its standing and why.

    `inputs` say what it was made of, `reference_version` which reference data stood behind it.
    """

    index: str
    definition: int
    value: float | None
    band: str | None
    standing: str
    low: float | None
    high: float | None
    bands: dict[str, float]
    reasons: list[str]
    inputs: list[str]
    reference_version: str


class AlertAnswer(Answer):
    """Something that cannot wait: what was reported, the cautions, and whom this network calls."""

    alert: str
    message: str
    cautions: list[str]
    who_to_call: str
    acknowledged: bool


class PrivateAnswer(Answer):
    """What only the visit's own school and the coordinator see."""

    observed_at: datetime
    received_at: datetime
    team: str | None
    notes: str | None
    cautions: Annotated[
        list[str], Field(description="Where free text seems to hold what leads to a person, and what to do.")
    ]


class RevisionAnswer(Answer):
    """One revision of a visit as it was handed in, when, and with which key (null: the network's own)."""

    revision: int
    received_at: datetime
    key_id: str | None
    handed_in: VisitBody


class RevisionsAnswer(Answer):
    """Every revision of a visit, the oldest first; the last one counts."""

    items: list[RevisionAnswer]
    next: None = None


class VisitAnswer(Answer):
    """A visit whole. ``private`` and ``alerts`` are for its own school and the coordinator alone."""

    visit_id: UUID
    revision: int
    state: State
    kind: VisitKind
    site: str
    school: str
    watershed: WatershedAnswer | None
    observed_on: date
    flag: FlagNumber
    conditions: dict[str, Any]
    readings: list[ReadingAnswer]
    visit_checks: list[CheckAnswer]
    catch: CatchAnswer | None
    gauging: GaugingBody | None
    bottles: BottlesBody | None
    derived: list[DerivedAnswer]
    scores: list[ScoreAnswer]
    alerts: list[AlertAnswer]
    private: PrivateAnswer | None
