"""What crosses HTTP about schools and keys."""

from datetime import date, datetime
from typing import Annotated
from uuid import UUID

from pydantic import AfterValidator, Field, model_validator

from service.core.schema import Answer, Body, Code, Day, Line, Patch, TimeZone, one_line
from service.schools.tables import Role

Email = Annotated[
    str,
    Field(max_length=254, pattern=r"^[^@\s]+@[^@\s]+\.[^@\s]+$", description="Seen by the coordinator only."),
    AfterValidator(one_line),
]


class SchoolBody(Body):
    """A new school."""

    code: Code
    name: Line
    time_zone: TimeZone
    contact_email: Email | None = None


class SchoolPatch(Patch):
    """What may change about a school; a field left out stays as it is."""

    nullable = frozenset({"contact_email"})

    name: Line | None = None
    time_zone: TimeZone | None = None
    contact_email: Email | None = None


class SchoolAnswer(Answer):
    """A school. The contact is null for everybody but the coordinator and the school itself."""

    code: str
    name: str
    time_zone: str
    contact_email: str | None


class SchoolPage(Answer):
    """A page of schools."""

    items: list[SchoolAnswer]
    next: str | None


class KeyBody(Body):
    """A new key."""

    role: Annotated[Role, Field(strict=False)]
    school: Code | None = None
    label: Line
    expires_on: Annotated[Day | None, Field(description="Last day on which the key works.")] = None

    @model_validator(mode="after")
    def _school_fits_role(self) -> "KeyBody":
        if (self.role is Role.SCHOOL) != (self.school is not None):
            raise ValueError("a school's key names its school; the other roles name none")
        return self


class KeyAnswer(Answer):
    """A key as it is listed: never the key itself."""

    id: UUID
    role: Role
    school: str | None
    label: str
    created_at: datetime
    expires_on: date | None
    revoked_at: datetime | None
    last_used_at: Annotated[
        datetime | None, Field(description="When it was last used, to the hour; null: never.")
    ]


class NewKeyAnswer(KeyAnswer):
    """A key as it is answered once, when it is made."""

    key: str = Field(description="The key itself; it is shown only now.")


class KeyPage(Answer):
    """A page of keys."""

    items: list[KeyAnswer]
    next: str | None
