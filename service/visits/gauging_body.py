"""What crosses HTTP of a gauging and of two bottles, and the plain values that science makes of them."""

from typing import Annotated, Any, Literal, Self

from pydantic import AfterValidator, Field, model_validator

from service.core.schema import Body
from service.science.bottles import Bottles
from service.science.discharge import mid_section_flows
from service.science.gauging import Bottom, FloatGauging, Gauging, Transect, Vertical, VerticalGauging
from service.science.oxygen_demand import demand_or_limit

MOST_TIMES, MOST_VERTICALS = 50, 100
FIELDS_OF = {"float": ("length_m", "times_s", "bottom", "transects"), "mid-section": ("verticals",)}


def _counted(least: int, most: int, told: str) -> tuple[AfterValidator, Any]:
    """Return what holds a list to a number of entries and says so in plain words."""

    def check(entries: list[Any] | None) -> list[Any] | None:
        if entries is not None and not least <= len(entries) <= most:
            raise ValueError(f"{told}; here are {len(entries)}")
        return entries

    return AfterValidator(check), Field(json_schema_extra={"minItems": least, "maxItems": most})


Depth = Annotated[float, Field(ge=0, le=10, description="Depth of the water, m.")]
Seconds = Annotated[float, Field(ge=0.1, le=3600, description="Time of one float, s.")]


class TransectBody(Body):
    """The water from bank to bank: its width and three depths; the depth at both banks counts as 0."""

    width_m: Annotated[float, Field(gt=0, le=100, description="Width of the water, m.")]
    depths_m: Annotated[
        list[Depth],
        *_counted(3, 3, "give three depths: at a quarter, a half and three quarters of the width"),
    ]


class VerticalBody(Body):
    """One place across the stream, with the mean speed of its water; below 0 it runs backwards."""

    distance_m: Annotated[float, Field(ge=0, le=200, description="Distance from the first bank, m.")]
    depth_m: Depth
    velocity_m_per_s: Annotated[float, Field(ge=-5, le=10, description="Mean speed of the vertical, m/s.")]


class GaugingBody(Body):
    """How the discharge was measured: with floats on a length, or at verticals from bank to bank."""

    method: Annotated[
        Literal["float", "mid-section"],
        Field(description="`float` has length_m, times_s, bottom, transects; `mid-section` has verticals."),
    ]
    length_m: Annotated[float | None, Field(gt=0, le=500, description="Length of the floats' way, m.")] = None
    times_s: Annotated[
        list[Seconds] | None, *_counted(3, MOST_TIMES, "time three floats or more; the mean counts")
    ] = None
    bottom: Annotated[Bottom | None, Field(strict=False, description="What the bed is made of.")] = None
    transects: Annotated[list[TransectBody] | None, *_counted(1, 2, "give one transect or two")] = None
    verticals: Annotated[
        list[VerticalBody] | None,
        *_counted(3, MOST_VERTICALS, "give three verticals or more, from bank to bank"),
    ] = None

    @model_validator(mode="after")
    def _follows_its_method(self) -> Self:
        given = [name for fields in FIELDS_OF.values() for name in fields if getattr(self, name) is not None]
        wanted = FIELDS_OF[self.method]
        if lacking := [name for name in wanted if name not in given]:
            raise ValueError(f"method {self.method} needs {', '.join(lacking)} as well")
        if foreign := [name for name in given if name not in wanted]:
            raise ValueError(f"method {self.method} has no {', '.join(foreign)}: leave that out")
        gauging = self.measured()
        if isinstance(gauging, VerticalGauging):
            mid_section_flows(gauging.verticals)
        return self

    def measured(self) -> Gauging:
        """Return the gauging in the terms of science."""
        if self.verticals is not None:
            return VerticalGauging(tuple(Vertical(**row.model_dump()) for row in self.verticals))
        assert self.length_m is not None
        assert self.times_s is not None
        assert self.bottom is not None
        assert self.transects is not None
        transects = tuple(Transect(row.width_m, tuple(row.depths_m)) for row in self.transects)
        return FloatGauging(self.length_m, tuple(self.times_s), self.bottom, transects)


class BottlesBody(Body):
    """Two bottles of one sample, closed without a bubble and kept in the dark."""

    first_mg_per_l: Annotated[
        float, Field(ge=0, le=25, description="Oxygen of the bottle opened at once, mg/L.")
    ]
    last_mg_per_l: Annotated[float, Field(ge=0, le=25, description="Oxygen of the bottle opened last, mg/L.")]
    hours: Annotated[float, Field(gt=0, le=1000, description="Hours between the two.")]
    temperature_c: Annotated[float, Field(ge=0, le=45, description="Temperature they were kept at, degC.")]
    sample_share: Annotated[
        float, Field(ge=0.001, le=1, description="Share of the bottle that was sample; 1: not diluted.")
    ] = 1.0

    @model_validator(mode="after")
    def _tell_something(self) -> Self:
        demand_or_limit(self.measured())
        return self

    def measured(self) -> Bottles:
        """Return the bottles in the terms of science."""
        return Bottles(**self.model_dump())


def stored_gauging(fields: dict[str, Any] | None) -> GaugingBody | None:
    """Return a gauging as it was handed in, from what a revision holds of it."""
    return GaugingBody.model_validate(fields) if fields else None


def stored_bottles(fields: dict[str, Any] | None) -> BottlesBody | None:
    """Return bottles as they were handed in, from what a revision holds of them."""
    return BottlesBody.model_validate(fields) if fields else None
