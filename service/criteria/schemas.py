"""What crosses HTTP about the network's own criteria."""

from datetime import date
from typing import Annotated, Any, Self

from pydantic import AfterValidator, BeforeValidator, Field, ValidationInfo, field_validator, model_validator

from service.core.paging import PageQuery
from service.core.schema import Answer, Body, Code, Day, Line, Patch, one_line
from service.reference.load import load_catalogue
from service.sites.schemas import WaterClass, WatershedAnswer, WatershedBody

Source = Annotated[
    str,
    Field(min_length=1, max_length=300, description="Whose it is: document, table, year."),
    AfterValidator(one_line),
]
LastDay = Annotated[Day, Field(description="Last day on which it applies, by the clock of each site.")]


def _never_changes(value: Any) -> Any:
    raise ValueError(
        "never changes, because scores were made with it: enter a new criterion under another code and give"
        " this one its last day in applies_until"
    )


Fixed = Annotated[None, BeforeValidator(_never_changes), Field(description="Never changes.")]


class CriterionBody(Body):
    """A new criterion of the network; its limits in any unit that readings of the parameter may have."""

    code: Code
    name: Line
    parameter: Annotated[Code, Field(description="What it is about; see `/v1/catalogue/parameters`.")]
    unit: Annotated[Line, Field(description="Unit of `at_least` and `at_most`.")]
    at_least: Annotated[float | None, Field(description="Lowest value that meets it.")] = None
    at_most: Annotated[float | None, Field(description="Highest value that meets it.")] = None
    water_class: Annotated[WaterClass | None, Field(description="Left out: for every water.")] = None
    watershed: Annotated[WatershedBody | None, Field(description="Left out: everywhere.")] = None
    applies_from: Annotated[Day, Field(description="First day on which it applies.")]
    applies_until: LastDay | None = None
    source: Source

    @field_validator("parameter")
    @classmethod
    def _is_known(cls, parameter: str) -> str:
        known = load_catalogue().parameters
        if parameter not in known:
            raise ValueError(f"{parameter} is not a parameter of this network; known are {', '.join(known)}")
        return parameter

    @field_validator("unit")
    @classmethod
    def _is_a_unit_of_it(cls, unit: str, info: ValidationInfo) -> str:
        parameter = load_catalogue().parameters.get(info.data.get("parameter", ""))
        if parameter is not None and unit not in parameter.units:
            wanted = ", ".join(f'"{name}"' for name in parameter.units)
            raise ValueError(f"{parameter.name} is given in {wanted}, not in {unit}")
        return unit

    @model_validator(mode="after")
    def _asks_something_possible(self) -> Self:
        limits = [limit for limit in (self.at_least, self.at_most) if limit is not None]
        if not limits:
            raise ValueError("give at_least, at_most or both")
        if limits != sorted(limits):
            raise ValueError("at_least must not be greater than at_most")
        if self.applies_until is not None and self.applies_until < self.applies_from:
            raise ValueError("applies_until must not be before applies_from")
        return self


class CriterionPatch(Patch):
    """What may change about a criterion. Its limits, and where and from when it applies, never do."""

    nullable = frozenset({"applies_until"})

    name: Line | None = None
    source: Source | None = None
    applies_until: LastDay | None = None
    code: Fixed = None
    parameter: Fixed = None
    unit: Fixed = None
    at_least: Fixed = None
    at_most: Fixed = None
    water_class: Fixed = None
    watershed: Fixed = None
    applies_from: Fixed = None


class CriterionAnswer(Answer):
    """A criterion of the network; its limits in the parameter's unit of storage."""

    code: str
    name: str
    parameter: str
    unit: str
    at_least: float | None
    at_most: float | None
    water_class: str | None
    watershed: WatershedAnswer | None
    applies_from: date
    applies_until: date | None
    source: str


class CriterionPage(Answer):
    """A page of the network's own criteria."""

    items: list[CriterionAnswer]
    next: str | None


class CriterionQuery(PageQuery):
    """Which of the network's own criteria."""

    parameter: Annotated[str | None, Field(max_length=64)] = None
