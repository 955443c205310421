"""Note the hour in which a key was last used: after the answer has gone, and never in a request's way."""

import logging
from datetime import UTC, datetime
from functools import partial
from uuid import UUID

from fastapi import Request
from sqlalchemy import Engine
from sqlalchemy.exc import SQLAlchemyError

from service.schools.queries import keep_use
from service.schools.tables import AccessKey

NOTE_PATIENCE_S = 1  # how long it waits for a lock that somebody else holds
LOG = logging.getLogger("wadebook.keys")


def note_use(request: Request, key: AccessKey) -> None:
    """Have the hour written in which a key is used, if it does not stand there yet.

    It is written over a connection kept for that: waiting for one of the requests' would keep a request
    from its own.
    """
    hour = datetime.now(UTC).replace(minute=0, second=0, microsecond=0)
    if key.last_used_at is None or key.last_used_at < hour:
        request.state.afterwards = [partial(_write, request.app.state.note_engine, key.id, hour)]


def _write(engine: Engine, key_id: UUID, hour: datetime) -> None:
    try:
        keep_use(engine, key_id, hour)
    except SQLAlchemyError:
        LOG.warning("the use of a key could not be noted; the next one will be")
