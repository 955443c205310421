"""The catch as the scores see it: named animals with their traits, counted."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum


class ScoringUse(StrEnum):
    """How far a taxon may enter a score."""

    SCORE = "score"
    RARE = "rare"
    COARSE = "coarse"
    RECORD_ONLY = "record_only"
    EXCLUDE = "exclude"


@dataclass(frozen=True, slots=True)
class Taxon:
    """One row of the taxa table. A ``tolerance`` of ``None`` means "no value" and is never read as 0.

    ``rolls_up_to`` names the coarser taxon of the table that holds this one. ``kind`` is the animal kind of
    the streamside form (mayfly, stonefly, ...), which gathers its families; ``streamside_group`` is that
    form's sensitivity group 1 to 3. ``kind_by_stage`` and ``group_by_stage`` hold the exceptions by life
    stage (a riffle beetle adult is another kind than a beetle larva). ``presence_kind`` and
    ``presence_weight`` 4 to 1 are those of the four-group presence lists, which split the animals otherwise.
    ``bmwp`` is the British family score 1 to 10, ``bmwp_unit`` the family of that list it is counted with,
    ``None`` for itself.
    """

    name: str
    rank: str
    order: str
    common_name: str
    ept: bool
    rolls_up_to: str | None
    tolerance: Decimal | None
    in_fbi_core: bool
    in_fbi_extended: bool
    scoring_use: ScoringUse
    kind: str | None = None
    streamside_group: int | None = None
    kind_by_stage: Mapping[str, str] = field(default_factory=dict)
    group_by_stage: Mapping[str, int] = field(default_factory=dict)
    terrestrial: bool = False
    alert: str | None = None
    presence_kind: str | None = None
    presence_weight: int | None = None
    bmwp: int | None = None
    bmwp_unit: str | None = None


class CountScheme(StrEnum):
    """How the catch was counted: whole animals, letters for classes of abundance, or only what was found."""

    COUNTS = "counts"
    RCD_1_10_100 = "rcd-1-10-100"
    PRESENCE = "presence"


@dataclass(frozen=True, slots=True)
class Tally:
    """One line of the catch. ``taxon`` is ``None`` for a name that the table does not know.

    ``count`` is ``None`` for a letter scheme, ``abundance`` is ``None`` for counts. Of the scheme that says
    only what was found the letter is P.
    """

    written_name: str
    taxon: Taxon | None
    count: int | None
    abundance: str | None = None
    life_stage: str | None = None


@dataclass(frozen=True, slots=True)
class Catch:
    """One net sample. An empty ``tallies`` means: sampled, and no animal found.

    ``counted_only`` names in plain words the groups the class set out to count ("mayflies"); empty says that
    all animals were counted. ``sorted_share`` is the part of the sample that was sorted (above 0, up to 1),
    ``jabs`` how often the net was used, ``mesh_um`` its mesh [micrometres]; ``None`` where it was not noted.
    """

    scheme: CountScheme
    tallies: tuple[Tally, ...]
    gear: str | None = None
    minutes: float | None = None
    area_m2: float | None = None
    counted_only: tuple[str, ...] = ()
    sorted_share: float | None = None
    jabs: int | None = None
    mesh_um: float | None = None
