"""What the service counts of itself: by the template of the route, and right over several workers."""

import os
import signal
import time
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from pathlib import Path

import httpx
import pytest
from prometheus_client.parser import text_string_to_metric_families
from sqlmodel import Session

from service.core.database import make_engine
from service.core.migrate import upgrade
from service.schools.keep_key import create_key
from service.schools.tables import Role
from tests.api import Api
from tests.served import Service, connected, wadebook_serve, within_one_minute

Samples = dict[tuple[str, tuple[tuple[str, str], ...]], float]
ON_POSTGRESQL = pytest.mark.parametrize("backend", ["postgresql"], indirect=True, scope="session")


def samples(text: str) -> Samples:
    return {
        (sample.name, tuple(sorted(sample.labels.items()))): sample.value
        for family in text_string_to_metric_families(text)
        for sample in family.samples
        if sample.name.startswith("wadebook_")
    }


def read(api: Api) -> Samples:
    answer = api.get("/metrics", "reader")
    assert (answer.status_code, answer.headers["content-type"]) == (
        200,
        "text/plain; version=0.0.4; charset=utf-8",
    )
    return samples(answer.text)


def requests(found: Samples) -> Counter[tuple[str, str, str]]:
    """How many requests were answered, by method, route and status."""
    counted: Counter[tuple[str, str, str]] = Counter()
    for (name, labels), value in found.items():
        if name == "wadebook_requests_total":
            named = dict(labels)
            counted[named["method"], named["route"], named["status"]] += int(value)
    return counted


METRICS = ("GET", "/metrics", "200")


@pytest.mark.parametrize(
    ("method", "address", "key", "counted"),
    [
        ("GET", "/v1/sites/reed-02", None, ("GET", "/v1/sites/{code}", "200")),
        ("GET", "/v1/sites/no-such-site?x=1", "reader", ("GET", "/v1/sites/{code}", "400")),
        ("GET", "/v1/sites/no-such-site", "reader", ("GET", "/v1/sites/{code}", "404")),
        ("GET", "/v1/streams/reed/profile", None, ("GET", "/v1/streams/{stream}/profile", "200")),
        ("GET", "/wp-login.php", None, ("GET", "none", "404")),
        ("GET", "/v1/nowhere/heron", None, ("GET", "none", "404")),
        ("POST", "/v1/visits", None, ("POST", "none", "401")),  # refused at a door
        ("POST", "/v1/visits", "heron", ("POST", "/v1/visits", "422")),
        ("BREW", "/v1/sites", None, ("other", "/v1/sites", "405")),
        ("X" * 50, "/nowhere", None, ("other", "none", "404")),
    ],
)
def test_a_request_is_counted_by_its_route_never_by_its_address(
    api: Api, method: str, address: str, key: str | None, counted: tuple[str, str, str]
) -> None:
    before = requests(read(api))
    more = {"json": {}} if method == "POST" else {}
    assert str(api.call(method, address, key, **more).status_code) == counted[2]
    assert requests(read(api)) - before == Counter([counted, METRICS])


def test_a_failure_nobody_expected_is_counted(api: Api) -> None:
    app = api.client.app
    app.add_api_route("/breaks", lambda: 1 / 0)
    before = requests(read(api))
    assert api.get("/breaks").status_code == 500
    app.router.routes.pop()
    assert requests(read(api)) - before == Counter([("GET", "/breaks", "500"), METRICS])


def test_the_time_that_each_took_falls_into_one_of_rising_classes(api: Api) -> None:
    route = (("method", "GET"), ("route", "/v1/schools"))

    def taken() -> tuple[float, float, list[float]]:
        found = read(api)
        classes = [
            (float(dict(labels)["le"]), value)
            for (name, labels), value in found.items()
            if name == "wadebook_request_seconds_bucket" and set(route) < set(labels)
        ]
        count, total = (
            found.get((f"wadebook_request_seconds_{name}", route), 0) for name in ("count", "sum")
        )
        return count, total, [value for _, value in sorted(classes)]

    api.get("/v1/schools")
    count, total, classes = taken()
    began = time.perf_counter()
    api.get("/v1/schools")
    took_s = time.perf_counter() - began
    count_after, total_after, classes_after = taken()
    assert count_after - count == 1
    assert 0 < total_after - total < took_s
    assert classes_after == sorted(classes_after)
    assert (classes_after[-1], classes_after[-1] - classes[-1]) == (count_after, 1)


def test_only_the_request_that_asks_is_at_work(api: Api) -> None:
    assert read(api)["wadebook_requests_at_work", ()] == 1


def test_the_operator_may_open_the_metrics_and_is_asked_for_a_key_otherwise(api: Api) -> None:
    app = api.client.app
    usual = app.state.settings
    assert api.get("/metrics").status_code == 401
    app.state.settings = usual.model_copy(update={"metrics_public": True})
    opened = api.get("/metrics").status_code
    app.state.settings = usual
    assert opened == 200


# Two workers, as the operator starts them.


def ask(service: Service, address: str, key: str | None = None) -> httpx.Response:
    """Ask on a connection of its own, which any of the workers may get."""
    headers = {"Authorization": f"Bearer {key}"} if key else {}
    return httpx.get(service.url + address, headers=headers, timeout=30)


def workers_of(service: Service) -> set[int]:
    return {line["process"] for line in service.lines() if line["message"].startswith("Started server")}


def wait_for_workers(service: Service, number: int) -> None:
    while [line["message"] for line in service.lines()].count("Application startup complete.") < number:
        time.sleep(0.05)


@ON_POSTGRESQL
def test_two_workers_count_and_limit_together(empty_database_url: Callable[[], str], tmp_path: Path) -> None:
    url = empty_database_url()
    upgrade(url)
    with Session(make_engine(url)) as session:
        key = create_key(session, Role.READER, None, "prometheus")[1]
        session.commit()
    more = {"database_url": url, "workers": "2", "rate_per_address": "30", "rate_per_key": "0"}
    with wadebook_serve(tmp_path, **more) as service:
        wait_for_workers(service, 2)
        within_one_minute()
        ask(service, "/v1/schools", key)
        with ThreadPoolExecutor(8) as pool:
            asked = list(pool.map(lambda _: ask(service, "/v1/catalogue/kits"), range(40)))
        assert Counter(answer.status_code for answer in asked) == {200: 29, 429: 11}
        who_answered = {line["process"] for line in service.lines() if line["message"] == "answered"}
        assert who_answered == workers_of(service)
        for _ in range(5):
            check_sums(samples(ask(service, "/metrics", key).text), at_work=1)

        port, head = (
            int(service.url.rpartition(":")[2]),
            POST + f"Authorization: Bearer {key}\r\n\r\n".encode(),
        )
        with ExitStack() as half_sent:
            for _ in range(4):
                half_sent.enter_context(connected(port, head))
            while samples(ask(service, "/metrics", key).text)["wadebook_requests_at_work", ()] < 5:
                time.sleep(0.05)
            for worker in workers_of(service):
                os.kill(worker, signal.SIGKILL)
            wait_for_workers(service, 3)
            check_sums(samples(ask(service, "/metrics", key).text), at_work=1)


POST = b"POST /v1/visits HTTP/1.1\r\nHost: service\r\nContent-Length: 900\r\n"


def check_sums(found: Samples, *, at_work: int) -> None:
    """What was counted stays, also when a worker is killed; what it had at work does not."""
    assert requests(found)["GET", "/v1/catalogue/{part}", "200"] == 29
    assert requests(found)["GET", "none", "429"] == 11
    assert found["wadebook_requests_at_work", ()] == at_work
