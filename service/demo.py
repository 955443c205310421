"""Load a network from a folder of CSV files, through the service's own HTTP addresses."""

import csv
import threading
import time
from collections import defaultdict
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import httpx
import uvicorn
from sqlmodel import Session

from service.app import create_app
from service.core.database import make_engine
from service.core.errors import WadebookError
from service.core.progress import show_progress
from service.core.settings import Settings
from service.schools.keep_key import create_key
from service.schools.tables import Role

NUMBERS = {
    "stream_km", "latitude", "longitude", "elevation_m", "air_temperature_c", "rain_48h_mm", "value",
    "seconds_in_water", "minutes_waited", "sample_ml", "minutes", "area_m2", "at_least", "at_most",
}  # fmt: skip
WHOLE = {"replicate", "count", "tablets"}
TRUTHS = {"bubble_free", "undisturbed_water", "dead_fish"}
CONDITIONS = ("air_temperature_c", "weather", "rain_48h_mm", "flow", "ice", "dead_fish")
PLACE = ("latitude", "longitude")
PROCEDURE = (
    "seconds_in_water", "minutes_waited", "bubble_free", "undisturbed_water", "tablets", "sample_ml",
)  # fmt: skip
CATCH = ("gear", "minutes", "area_m2", "count_scheme")
LATER = frozenset({httpx.codes.TOO_MANY_REQUESTS, httpx.codes.SERVICE_UNAVAILABLE})
MOST_WAITS = 10
Row = dict[str, Any]


def load_demo(settings: Settings, folder: Path, url: str | None) -> None:
    """Send a network's schools, boxes of kits, sites and visits; what is there already stays as it is.

    Raises
    ------
    WadebookError
        The service refused something; the message says what and why.
    """
    if url is not None:
        with httpx.Client(
            base_url=url, headers={"Authorization": f"Bearer {settings.key}"}, timeout=60
        ) as client:
            send_network(client, folder)
        return
    with _running_service(settings) as client:
        send_network(client, folder)


def read_rows(path: Path) -> list[Row]:
    """Return the rows of a file; empty cells are left out, numbers and truths are what they are."""
    with path.open(encoding="utf-8", newline="") as file:
        return [
            {name: _cell(name, text) for name, text in row.items() if text != ""}
            for row in csv.DictReader(file, strict=True)
        ]


def _cell(name: str, text: str) -> Any:
    if name in NUMBERS:
        return float(text)
    if name in WHOLE:
        return int(text)
    return text == "true" if name in TRUTHS else text


def visit_bodies(folder: Path) -> list[Row]:
    """Return the visits of a folder as they are handed in, in the order of the file."""
    readings, counts = defaultdict(list), defaultdict(list)
    for row in read_rows(folder / "readings.csv"):
        visit_id = row.pop("visit_id")
        readings[visit_id].append(_nest(row, "procedure", PROCEDURE))
    for row in read_rows(folder / "counts.csv"):
        counts[row.pop("visit_id")].append(row)
    bodies = []
    for row in read_rows(folder / "visits.csv"):
        body = row | {"readings": readings[row["visit_id"]]}
        for part, names in (("conditions", CONDITIONS), ("place", PLACE), ("catch", CATCH)):
            body = _nest(body, part, names)
        if "catch" in body:
            body["catch"]["counts"] = counts[row["visit_id"]]
        bodies.append(body)
    return bodies


def _nest(row: Row, part: str, names: tuple[str, ...]) -> Row:
    """Put some cells of a row into a part of its own; without any of them there is no such part."""
    nested = {name: row[name] for name in names if name in row}
    rest = {name: cell for name, cell in row.items() if name not in names}
    return rest | ({part: nested} if nested else {})


def _site_body(row: Row) -> Row:
    scheme, code = row.pop("watershed_scheme", None), row.pop("watershed_code", None)
    return row | ({"watershed": {"scheme": scheme, "code": code}} if code else {})


def send_network(client: httpx.Client, folder: Path) -> None:
    """Send a network from a folder of CSV files: schools, kits, watersheds, sites, criteria, visits."""
    for school in read_rows(folder / "schools.csv"):
        _send(client, "/v1/schools", school)
    for lot in read_rows(folder / "kit_lots.csv"):
        _send(client, "/v1/kit-lots", lot)
    for watershed in read_rows(folder / "watersheds.csv"):
        _send(client, "/v1/watersheds", watershed)
    for site in read_rows(folder / "sites.csv"):
        _send(client, "/v1/sites", _site_body(site))
    for criterion in read_rows(folder / "criteria.csv"):
        _send(client, "/v1/criteria", criterion)
    bodies = visit_bodies(folder)
    for done, body in enumerate(bodies, 1):
        _send(client, "/v1/visits", body)
        show_progress(f"{done} of {len(bodies)} visits", last=done == len(bodies))


def _send(client: httpx.Client, address: str, body: Row) -> None:
    answer = _post_when_asked(client, address, body)
    already_there = answer.status_code == httpx.codes.CONFLICT and address != "/v1/visits"
    if not answer.is_success and not already_there:
        raise WadebookError(f"{address} refused {body.get('code') or body.get('visit_id')}: {answer.text}")


def _post_when_asked(client: httpx.Client, address: str, body: Row) -> httpx.Response:
    """Send a body; where the service has too much to do, wait as long as it says and send it again."""
    for _ in range(MOST_WAITS):
        answer = client.post(address, json=body)
        if answer.status_code not in LATER:
            break
        wait_s = int(answer.headers.get("Retry-After", "5"))
        show_progress(f"the service asks to wait {wait_s} seconds")
        time.sleep(wait_s)
    return answer


@contextmanager
def _running_service(settings: Settings) -> Iterator[httpx.Client]:
    """Run the service in this process on a free port, with a coordinator's key that lives as long."""
    engine = make_engine(settings.database_url)
    with Session(engine) as session:
        _, token = create_key(session, Role.COORDINATOR, None, "wadebook demo")
        session.commit()
    server = uvicorn.Server(
        uvicorn.Config(create_app(settings), host="127.0.0.1", port=0, log_level="warning")
    )
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started and thread.is_alive():
        time.sleep(0.02)
    port = server.servers[0].sockets[0].getsockname()[1]
    headers = {"Authorization": f"Bearer {token}"}
    try:
        with httpx.Client(base_url=f"http://127.0.0.1:{port}", headers=headers, timeout=60) as client:
            yield client
    finally:
        server.should_exit = True
        thread.join()
