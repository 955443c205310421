"""Run the service: one worker, or several that share their counts of requests and their metrics."""

import os
import signal
import sys
from typing import Any

import uvicorn

from service.core.connection import PromptConnection
from service.core.door.counts import Counts
from service.core.door.small_head import LARGEST_HEAD_BYTES
from service.core.errors import SettingsError
from service.core.logs import log_as_json
from service.core.settings import IN_MEMORY, Settings
from service.core.temporary_folder import temporary_folder

KEEP_ALIVE_S = 75  # longer than the usual reverse proxy keeps one, so that it never meets a closed one
SLOWEST_START_S = 30  # of a worker on a small machine; one that hangs for so long is replaced


def serve(settings: Settings) -> None:
    """Serve until stopped; the answers at work are finished first.

    Raises
    ------
    SettingsError
        Several workers are wanted on SQLite, whose file belongs to one process.
    """
    if settings.workers > 1 and settings.database_url.startswith("sqlite"):
        raise SettingsError("WADEBOOK_WORKERS: SQLite serves one process; use PostgreSQL for more")
    log_as_json(settings.log_level)
    signal.signal(signal.SIGTERM, _leave)
    with temporary_folder() as shared:
        own = str(shared / "rates.db")
        os.environ["WADEBOOK_RATE_FILE"] = own if settings.rate_file == IN_MEMORY else settings.rate_file
        Counts(os.environ["WADEBOOK_RATE_FILE"])  # made here, that no two workers make it at once
        if settings.workers > 1:
            metrics = shared / "metrics"
            metrics.mkdir()
            os.environ["PROMETHEUS_MULTIPROC_DIR"] = str(metrics)
        uvicorn.run("service.app:from_environment", factory=True, **how_to_serve(settings))


def how_to_serve(settings: Settings) -> dict[str, Any]:
    """Return uvicorn's own settings."""
    return {
        "host": settings.host,
        "port": settings.port,
        "workers": settings.workers,
        "http": PromptConnection,
        "ws": "none",
        "log_config": None,
        "access_log": False,
        "server_header": False,
        "proxy_headers": bool(settings.proxy),
        "forwarded_allow_ips": settings.proxy or None,
        "timeout_keep_alive": KEEP_ALIVE_S,
        "timeout_graceful_shutdown": settings.statement_timeout_s + 5,
        "timeout_worker_healthcheck": SLOWEST_START_S,
        "h11_max_incomplete_event_size": LARGEST_HEAD_BYTES,
    }


def _leave(_signal: int, _frame: Any) -> None:
    """End like a program that is done, so that what is shared is put away; uvicorn calls this last."""
    sys.exit(0)
