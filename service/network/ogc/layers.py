"""The collections that are offered: what each holds, how it is ordered, and how its features are named."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import UUID

import sqlalchemy as sa

from service.core.schema import Answer
from service.network.ogc.properties import ReadingProperties, ScoreProperties, SiteProperties

LARGEST_POSITION = 32_767


def _position(text: str) -> int:
    number = int(text)
    if str(number) != text or number > LARGEST_POSITION:
        raise ValueError("is not the position of a reading")
    return number


@dataclass(frozen=True, slots=True)
class Layer:
    """One collection. ``order`` says what orders it, each with the reader of its text.

    ``named_by`` are those of them that make up a feature's id; ``roles`` says which properties are its time.
    """

    id: str
    title: str
    description: str
    properties: type[Answer]
    order: Mapping[str, Callable[[str], Any]]
    named_by: tuple[str, ...]
    roles: Mapping[str, str]

    @property
    def address(self) -> str:
        """Its path."""
        return f"/ogc/collections/{self.id}"

    def id_of(self, row: sa.RowMapping) -> str:
        """Return the id of the feature that a row makes."""
        return ".".join(str(row[name]) for name in self.named_by)

    def key_of(self, feature_id: str) -> dict[str, Any]:
        """Return what names a feature, each part by its column.

        Raises
        ------
        ValueError
            No feature here has such an id.
        """
        parts = feature_id.split(".", len(self.named_by) - 1)
        return {name: self.order[name](part) for name, part in zip(self.named_by, parts, strict=True)}


SITES = Layer(
    id="sites",
    title="Sites",
    description="The places that schools watch, rounded to what the public sees of them. The time of a site "
    "is from its first released visit to its last.",
    properties=SiteProperties,
    order={"site": str},
    named_by=("site",),
    roles={"first_visit_on": "primary-interval-start", "last_visit_on": "primary-interval-end"},
)
READINGS = Layer(
    id="readings",
    title="Readings",
    description="One feature a measured reading of a released visit, at the place of its site, with the "
    "local date of the visit, its interval and its flag. What was not measured is left out.",
    properties=ReadingProperties,
    order={"observed_on": date.fromisoformat, "visit_id": UUID, "position": _position},
    named_by=("visit_id", "position"),
    roles={"observed_on": "primary-instant"},
)
SCORES = Layer(
    id="scores",
    title="Scores",
    description="One feature a score of a released visit, by the newest definition of its index, with its "
    "interval and standing. Scores without a value are left out; /v1/scores has them, with the reasons.",
    properties=ScoreProperties,
    order={"observed_on": date.fromisoformat, "visit_id": UUID, "index": str},
    named_by=("visit_id", "index"),
    roles={"observed_on": "primary-instant"},
)
LAYERS = (SITES, READINGS, SCORES)
