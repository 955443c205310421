"""What is asked of a field sheet: with which kits, and on which paper."""

from typing import Annotated, Literal

from pydantic import Field

from service.core.schema import Query

Codes = Annotated[
    str | None,
    Field(
        max_length=2_000,
        pattern=r"^[a-z0-9_,-]+$",
        description="Codes of the kits, parted by commas. Left out: those last used at the site, else one in "
        "common use for each usual reading.",
    ),
]


class SheetQuery(Query):
    """With which kits."""

    kits: Codes = None


class PaperQuery(SheetQuery):
    """With which kits, and on which paper."""

    paper: Literal["a4", "letter"] = "a4"
