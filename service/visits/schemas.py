"""What crosses HTTP when a visit is handed in."""

from enum import StrEnum
from typing import Annotated, Self
from uuid import UUID

from pydantic import AfterValidator, Field, ValidationInfo, field_validator, model_validator

from service.core.schema import Body, Code, Instant, Line, Note
from service.reference.load import load_catalogue
from service.reference.taxon_name import Ambiguous, Unknown
from service.science.catch import CountScheme
from service.science.types import Censoring, VisitKind
from service.visits.gauging_body import BottlesBody, GaugingBody

LETTERS_OF = {CountScheme.RCD_1_10_100: ("R", "C", "D"), CountScheme.PRESENCE: ("P",)}
Magnitude = Annotated[float, Field(ge=-1e9, le=1e9)]


class Weather(StrEnum):
    """The sky during the visit."""

    CLEAR = "clear"
    PARTLY_CLOUDY = "partly-cloudy"
    OVERCAST = "overcast"
    RAIN = "rain"
    SNOW = "snow"
    FOG = "fog"


class Flow(StrEnum):
    """How much water the stream carries, compared with what is usual there."""

    DRY = "dry"
    LOW = "low"
    NORMAL = "normal"
    HIGH = "high"
    FLOOD = "flood"


class Ice(StrEnum):
    """Ice on the reach."""

    NONE = "none"
    EDGE = "edge"
    COVER = "cover"


class Gear(StrEnum):
    """What the animals were caught with."""

    KICK_SEINE = "kick-seine"
    D_NET = "d-net"
    SURBER = "surber"
    HAND_PICKING = "hand-picking"


class LifeStage(StrEnum):
    """Life stage of the animals counted on one line."""

    LARVA = "larva"
    NYMPH = "nymph"
    PUPA = "pupa"
    ADULT = "adult"


class ConditionsBody(Body):
    """What the weather and the stream were like."""

    air_temperature_c: Annotated[
        float | None, Field(ge=-60, le=60, description="Air in the shade, degC.")
    ] = None
    weather: Annotated[Weather | None, Field(strict=False)] = None
    rain_48h_mm: Annotated[
        float | None, Field(ge=0, le=1000, description="Rain of the last 48 hours, mm.")
    ] = None
    flow: Annotated[Flow | None, Field(strict=False)] = None
    ice: Annotated[Ice | None, Field(strict=False)] = None
    dead_fish: Annotated[bool | None, Field(description="Dead or gasping fish were seen.")] = None


class ProcedureBody(Body):
    """How a reading was taken, as far as the class noted it."""

    seconds_in_water: Annotated[float | None, Field(ge=0, le=7200, description="Seconds in the water.")] = (
        None
    )
    minutes_waited: Annotated[float | None, Field(ge=0, le=1440, description="Minutes before reading.")] = (
        None
    )
    bubble_free: Annotated[bool | None, Field(description="No bubble in the closed bottle or tube.")] = None
    undisturbed_water: Annotated[bool | None, Field(description="Taken where nothing was stirred up.")] = None
    tablets: Annotated[int | None, Field(ge=0, le=10, description="Tablets put in.")] = None
    sample_ml: Annotated[float | None, Field(gt=0, le=1000, description="Water in the test, mL.")] = None


class ReadingBody(Body):
    """One reading. A `value` of null says: planned, but not measured."""

    parameter: Annotated[Code, Field(description="What was measured; see `/v1/catalogue/parameters`.")]
    value: Annotated[Magnitude | None, Field(description="As read; a limit where `censored` is given.")]
    unit: Annotated[
        Line | None, Field(description="Unit of `value`; only pH needs none.", validate_default=True)
    ] = None
    censored: Annotated[
        Censoring | None, Field(strict=False, description='"<" below the value, ">" above it.')
    ] = None
    kit: Annotated[Code | None, Field(description="Kit it was read with; see `/v1/catalogue/kits`.")] = None
    kit_lot: Annotated[Code | None, Field(description="The school's own box of the kit.")] = None
    replicate: Annotated[int | None, Field(ge=1, le=50, description="1 for the first of several.")] = None
    procedure: ProcedureBody = ProcedureBody()

    @field_validator("parameter")
    @classmethod
    def _is_known(cls, parameter: str) -> str:
        known = load_catalogue().parameters
        if parameter not in known:
            raise ValueError(f"{parameter} is not a parameter of this network; known are {', '.join(known)}")
        return parameter

    @field_validator("unit")
    @classmethod
    def _is_a_unit_of_it(cls, unit: str | None, info: ValidationInfo) -> str | None:
        parameter = load_catalogue().parameters.get(info.data.get("parameter", ""))
        if parameter is None:
            return unit
        wanted = ", ".join(f'"{name}"' for name in parameter.units)
        if unit is None and parameter.id != "ph":
            raise ValueError(f"is missing; {parameter.name} is given in {wanted}")
        if unit is not None and unit not in parameter.units:
            raise ValueError(f"{parameter.name} is given in {wanted}, not in {unit}")
        return unit

    @model_validator(mode="after")
    def _censors_something(self) -> Self:
        if self.censored is not None and self.value is None:
            raise ValueError("censored needs the limit as its value")
        if self.kit_lot is not None and self.kit is None:
            raise ValueError("kit_lot needs the kit that it is a box of")
        return self


class CountBody(Body):
    """One line of the catch: a count, or a letter where the count scheme has letters."""

    taxon: Annotated[Line, Field(description="The animal, by the name the class uses or a scientific name.")]
    count: Annotated[int | None, Field(ge=0, le=100_000)] = None
    abundance: Annotated[
        str | None,
        Field(pattern="^[RCDP]$", description="R 1-9, C 10-99, D 100 or more; P found, not counted."),
    ] = None
    life_stage: Annotated[LifeStage | None, Field(strict=False)] = None


def _is_a_known_group(name: str) -> str:
    found = load_catalogue().resolve_taxon(name)
    if isinstance(found, Ambiguous):
        meant = ", ".join(taxon.name for taxon in found.candidates)
        raise ValueError(f"this name may stand for {meant}; name what was counted")
    if isinstance(found, Unknown):
        near = f"; did you mean {' or '.join(found.suggestions)}?" if found.suggestions else ""
        raise ValueError(f"no animal or group of /v1/catalogue/taxa has this name{near}")
    return name


class CatchBody(Body):
    """One net sample. No counts at all means: looked for, and no animal found."""

    gear: Annotated[Gear | None, Field(strict=False)] = None
    minutes: Annotated[float | None, Field(ge=0, le=1440, description="Minutes of collecting.")] = None
    area_m2: Annotated[float | None, Field(ge=0, le=100, description="Bed area sampled, m2.")] = None
    jabs: Annotated[int | None, Field(ge=1, le=1000, description="How often the net was used.")] = None
    mesh_um: Annotated[float | None, Field(gt=0, le=10_000, description="Mesh of the net, micrometres.")] = (
        None
    )
    sorted_share: Annotated[
        float | None, Field(gt=0, le=1, description="Part of the sample that was sorted; 1: all of it.")
    ] = None
    counted_only: Annotated[
        list[Annotated[Line, AfterValidator(_is_a_known_group)]] | None,
        Field(
            min_length=1,
            max_length=50,
            description="The groups that were counted, when other animals were left out; null: all animals.",
        ),
    ] = None
    count_scheme: Annotated[CountScheme, Field(strict=False, description="How the animals were counted.")]
    counts: Annotated[list[CountBody], Field(max_length=300)]

    @model_validator(mode="after")
    def _counts_follow_the_scheme(self) -> Self:
        letters = LETTERS_OF.get(self.count_scheme, ())
        for position, line in enumerate(self.counts):
            fits = line.abundance in letters if letters else line.abundance is None
            if not fits or (line.count is None) != bool(letters):
                named = " or ".join(letters)
                wanted = f"abundance ({named}) and no count" if letters else "count and no abundance"
                raise ValueError(
                    f"line {position + 1}, {line.taxon}: scheme {self.count_scheme} wants {wanted}"
                )
        return self


class PlaceBody(Body):
    """Where the class's device says it stood, WGS 84. Never published."""

    latitude: Annotated[float, Field(ge=-90, le=90)]
    longitude: Annotated[float, Field(ge=-180, le=180)]


class VisitBody(Body):
    """One visit of a class to its site."""

    visit_id: Annotated[
        UUID | None, Field(strict=False, description="Made by the client, so that sending again is safe.")
    ] = None
    site: Code
    observed_at: Annotated[Instant, Field(description="When the water was read, with the offset from UTC.")]
    kind: Annotated[
        VisitKind,
        Field(strict=False, description="A duplicate or a blank is kept apart from the routine visits."),
    ] = VisitKind.ROUTINE
    place: PlaceBody | None = None
    team: Annotated[Code | None, Field(description="A code for the group; never a child's name.")] = None
    conditions: ConditionsBody = ConditionsBody()
    readings: Annotated[list[ReadingBody], Field(max_length=100, default_factory=list)]
    catch: CatchBody | None = None
    gauging: Annotated[GaugingBody | None, Field(description="How the discharge was measured.")] = None
    bottles: Annotated[BottlesBody | None, Field(description="A test of oxygen demand.")] = None
    notes: Annotated[Note | None, Field(description="For the school and the coordinator only.")] = None

    @model_validator(mode="after")
    def _holds_something(self) -> Self:
        if not (self.readings or self.catch or self.gauging or self.bottles):
            raise ValueError("a visit holds readings, a catch, a gauging or bottles; this one has nothing")
        seen = [(reading.parameter, reading.replicate) for reading in self.readings if reading.replicate]
        if len(seen) != len(set(seen)):
            raise ValueError("two readings have the same parameter and replicate; number them 1, 2, …")
        return self
