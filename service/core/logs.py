"""One JSON line for each thing that is logged, with the request's id, and never what a caller sent.

Of an error only its kind and the places in the code are written: messages of a database repeat rows. Of what
a library says only the place is written, for the same reason.
"""

import json
import logging
import sys
import traceback
from datetime import UTC, datetime

from service.core.causes import with_causes
from service.core.request_id import request_id

KNOWN_TO_REPEAT_NOTHING = frozenset({"wadebook", "uvicorn"})


class JsonLines(logging.Formatter):
    """Format a record as one line."""

    def format(self, record: logging.LogRecord) -> str:
        """Return the line of a record; its own fields stand beside the message."""
        line = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "process": record.process,
            "logger": record.name,
            "message": _message(record),
            "request_id": request_id() or None,
            **getattr(record, "fields", {}),
        }
        if record.exc_info and record.exc_info[1] is not None:
            line["error"] = error_lines(record.exc_info[1])
        return json.dumps(line, default=str)


def _message(record: logging.LogRecord) -> str:
    if record.name.partition(".")[0] in KNOWN_TO_REPEAT_NOTHING:
        return record.getMessage().strip()
    return f"said at {record.filename}:{record.lineno}"


def error_lines(error: BaseException) -> list[str]:
    """Return the kind of an error and of its causes, each with the places it passed, and no message."""
    chain = with_causes(error)
    return [f"{type(one).__module__}.{type(one).__qualname__} at {_places(one)}" for one in chain]


def _places(error: BaseException) -> str:
    frames = reversed(traceback.extract_tb(error.__traceback__))
    return " < ".join(f"{frame.filename.rpartition('/')[2]}:{frame.lineno} {frame.name}" for frame in frames)


def log_as_json(level: str) -> None:
    """Send everything that is logged to standard error as JSON lines, uvicorn's own words too."""
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(JsonLines())
    logging.basicConfig(level=level.upper(), handlers=[handler], force=True)
    logging.captureWarnings(True)
    logging.raiseExceptions = False  # a line that cannot be written is not written another way
    for name in ("uvicorn", "uvicorn.error", "uvicorn.access"):
        logger = logging.getLogger(name)
        logger.handlers, logger.propagate = [], True
    logging.getLogger("uvicorn.access").setLevel(logging.WARNING)
