"""Answer a question that was asked before without asking the database for it again.

An answer that is made of what is stored, and of nothing else, stays the same until the next change is
recorded. Its tag is made of that change, of what the caller may see, and of what was asked, so it costs one
look at the register of changes. A change that this answer does not show gives a new tag too; the answer is
then made anew, never sent old. Who has the answer is told so; for others it may still lie ready in memory.
"""

from datetime import UTC, datetime
from functools import lru_cache
from typing import Annotated

from fastapi import Header, Request
from sqlmodel import Session

from service.changes.queries import newest_change
from service.core.answers_kept import AnswersKept, MadeBefore
from service.core.code_version import code_version
from service.core.database import RequestSession
from service.core.door.keep_answers import KEPT_AS
from service.core.door.keeping import TAG
from service.core.etag import Unchanged, is_unchanged, tag_of
from service.core.settings import Settings
from service.schools.caller import Caller, ReadCaller

SECRET = {"database_url", "key"}
Held = Annotated[
    str | None,
    Header(
        alias="If-None-Match",
        description="The ETag of what you have; where nothing has changed the answer is 304.",
    ),
]


def only_if_changed(request: Request, session: RequestSession, caller: ReadCaller, held: Held = None) -> None:
    """Give the answer its tag, or stop where the reader has it already or it lies ready.

    Raises
    ------
    Unchanged
        Nothing has changed since the reader got this answer.
    MadeBefore
        Nothing has changed since somebody who sees the same was answered the same question.
    """
    _tell_by_tag(request, session, caller, held)


def only_if_changed_today(
    request: Request, session: RequestSession, caller: ReadCaller, held: Held = None
) -> None:
    """Do the same for an answer that counts days to the local date of each site."""
    _tell_by_tag(request, session, caller, held, quarter_hour(datetime.now(UTC)))


def quarter_hour(now: datetime) -> str:
    """Name the quarter of an hour in which no date changes in any zone: they lie whole quarters apart."""
    return now.replace(minute=now.minute // 15 * 15, second=0, microsecond=0).isoformat()


def _tell_by_tag(request: Request, session: Session, caller: Caller, held: str | None, *more: object) -> None:
    version, sees = str(newest_change(session)), [caller.role, caller.school]
    tag = tag_of([*_what_was_asked(request), version, sees, *more])
    # "*" says nothing of what the reader has.
    if held is not None and held.strip() != "*" and is_unchanged(held, tag):
        raise Unchanged(tag)
    setattr(request.state, TAG, tag)
    kept: AnswersKept = request.app.state.answers_kept
    answer = kept.find(tag)
    if answer is not None:
        raise MadeBefore(answer)
    setattr(request.state, KEPT_AS, tag)


def _what_was_asked(request: Request) -> list[str]:
    """Return all of a request and of the service that an answer is made from, beside what is stored."""
    return [
        code_version(),
        _set(request.app.state.settings),
        str(request.base_url),
        request.scope["path"],
        request.scope["query_string"].decode("latin-1"),
        ",".join(request.headers.getlist("accept")),
    ]


@lru_cache
def _set(settings: Settings) -> str:
    return settings.model_dump_json(exclude=SECRET)
