"""Answer a reader who already has what stands now without asking the database for it again.

An answer that is made of what is stored, and of nothing else (not of today's date), stays the same until the
next change is recorded. Its tag is made of that change, of what the caller may see, and of what was asked, so
it costs one look at the register of changes. A change that this answer does not show gives a new tag too; the
reader then gets the same once more, never something old.
"""

from typing import Annotated

from fastapi import Header, Request

from service.changes.queries import newest_change
from service.core.code_version import code_version
from service.core.database import RequestSession
from service.core.door.keeping import TAG
from service.core.etag import Unchanged, is_unchanged, tag_of
from service.core.settings import Settings
from service.schools.caller import ReadCaller

SECRET = {"database_url", "key"}


def only_if_changed(
    request: Request,
    session: RequestSession,
    caller: ReadCaller,
    if_none_match: Annotated[
        str | None,
        Header(description="The ETag of what you have; where nothing has changed the answer is 304."),
    ] = None,
) -> None:
    """Give the answer its tag, or stop where the reader has it already.

    Raises
    ------
    Unchanged
        Nothing has changed since the reader got this answer.
    """
    tag = tag_of(_what_it_hangs_on(request, newest_change(session), caller.role, caller.school))
    # "*" says nothing of what the reader has.
    if if_none_match is not None and if_none_match.strip() != "*" and is_unchanged(if_none_match, tag):
        raise Unchanged(tag)
    setattr(request.state, TAG, tag)


def _what_it_hangs_on(request: Request, *more: object) -> list[object]:
    settings: Settings = request.app.state.settings
    return [
        code_version(),
        settings.model_dump(mode="json", exclude=SECRET),
        str(request.url),
        request.headers.get("accept", ""),
        *map(str, more),
    ]
