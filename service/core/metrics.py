"""What the service counts of itself, for Prometheus; right with several workers too.

Several workers write to files of one folder, named by ``PROMETHEUS_MULTIPROC_DIR`` before this is imported.
"""

import os
from pathlib import Path

from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram, generate_latest, multiprocess

REQUESTS = Counter("wadebook_requests", "Requests answered.", ["method", "route", "status"])
DURATION = Histogram(
    "wadebook_request_seconds",
    "Time from the first byte of a request to the last of its answer [s].",
    ["method", "route"],
    buckets=(0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0, 30.0),
)
AT_WORK = Gauge("wadebook_requests_at_work", "Requests being answered.", multiprocess_mode="livesum")


def all_metrics() -> bytes:
    """Return the counts of all workers in the text format of Prometheus."""
    folder = os.environ.get("PROMETHEUS_MULTIPROC_DIR")
    if not folder:
        return generate_latest()
    _forget_what_the_dead_had_at_work(Path(folder))
    registry = CollectorRegistry()
    multiprocess.MultiProcessCollector(registry)  # type: ignore[no-untyped-call]
    return generate_latest(registry)


def _forget_what_the_dead_had_at_work(folder: Path) -> None:
    """Drop the gauge of workers that were killed; what they had counted stays."""
    for file in folder.glob("gauge_live*_*.db"):
        worker = file.stem.rpartition("_")[2]
        try:
            os.kill(int(worker), 0)
        except ProcessLookupError:
            multiprocess.mark_process_dead(int(worker))  # type: ignore[no-untyped-call]
