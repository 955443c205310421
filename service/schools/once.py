"""Answer a repeated request like the first time: ``Idempotency-Key`` on whatever makes something.

What is kept is written in the transaction of the request itself, so it is there exactly when the thing is.

Reference
---------
IETF draft-ietf-httpapi-idempotency-key-header-07 (October 2025): same key and other content 422.
"""

from collections.abc import Callable
from datetime import UTC, datetime
from hashlib import sha256
from typing import Annotated, TypeVar

from fastapi import Depends, Header, Request
from pydantic import BaseModel
from sqlmodel import Session

from service.core.database import RequestSession
from service.core.errors import BadQuery, FieldError, Invalid
from service.schools.caller import Caller, WritingCaller
from service.schools.queries import answered_before, claim_answer, keep_answer

Answered = TypeVar("Answered", bound=BaseModel)
KEPT_DAYS = 7
MAY_BE = r'^"?[ -~]{0,255}"?$'  # a text of RFC 9651, no longer than the column that keeps it


class Once:
    """The one who makes sure that a request with an ``Idempotency-Key`` is carried out once."""

    def __init__(self, session: Session, caller: Caller, address: str, token: str | None) -> None:
        self.session = session
        self.caller = str(caller.key_id)
        self.address = address
        self.token = token

    def answer(
        self,
        kind: type[Answered],
        body: BaseModel,
        make: Callable[[], Answered],
        hidden: frozenset[str] = frozenset(),
    ) -> Answered:
        """Return what ``make`` gives; for a request that was carried out before, what it gave then.

        Parameters
        ----------
        kind : type
            Of the answer.
        body : BaseModel
            What was sent; the same key with other content is refused.
        make : callable
            Does what was asked and returns the answer.
        hidden : set of str
            Fields of the answer that must not be kept; they come back empty the second time.

        Raises
        ------
        Invalid
            The key was sent with another request before.
        """
        if self.token is None:
            return make()
        content = sha256(body.model_dump_json().encode()).hexdigest()
        now = datetime.now(UTC)
        if claim_answer(self.session, self.caller, self.token, self.address, content, now):
            answer = make()
            kept = answer.model_copy(update=dict.fromkeys(hidden, ""))
            keep_answer(self.session, self.caller, self.token, kept.model_dump_json())
            return answer
        before = answered_before(self.session, self.caller, self.token)
        if (before.address, before.content_hash) != (self.address, content):
            told = "this Idempotency-Key came with another request before; make a new one for each request"
            raise Invalid([FieldError("", told)])
        return kind.model_validate_json(before.answer or "")


def once(
    request: Request,
    session: RequestSession,
    caller: WritingCaller,
    idempotency_key: Annotated[
        str | None,
        Header(
            max_length=257,
            pattern=MAY_BE,
            description="Your own name for this request, such as a UUID in quotes: sent again within "
            f"{KEPT_DAYS} days it is answered as before, and nothing is made twice.",
        ),
    ] = None,
) -> Once:
    """Return the guard of one request.

    Raises
    ------
    BadQuery
        The header is empty.
    """
    token = None if idempotency_key is None else idempotency_key.strip().strip('"')
    if token == "":
        raise BadQuery("Idempotency-Key: is empty; send a UUID, or leave the header out")
    return Once(session, caller, f"{request.method} {request.url.path}", token)


OnlyOnce = Annotated[Once, Depends(once)]
