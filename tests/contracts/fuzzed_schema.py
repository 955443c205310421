"""Requests that nobody thought of, made from the service's own document, and what their answers lacked."""

from collections import Counter
from dataclasses import dataclass, field
from typing import Any

import schemathesis
from fastapi import FastAPI
from schemathesis import Case, GenerationMode, HookContext
from schemathesis.config import SchemathesisConfig
from schemathesis.core.failures import AcceptedNegativeData, Failure
from schemathesis.core.transport import Response
from schemathesis.engine import events, from_schema
from schemathesis.engine.recorder import ScenarioRecorder
from schemathesis.generation.meta import TestPhase
from schemathesis.openapi.checks import UnsupportedMethodResponse, UseAfterFree

from tests.api import visit

Phases = dict[str, dict[str, Any]]
# What the network of tests/api.py holds and the catalogue knows, so that some requests get past the names.
KNOWN = {
    "sites": ["reed-01", "reed-02", "fern-01"],
    "schools": ["heron", "otter"],
    "streams": ["reed", "fern"],
    "watersheds": ["0207", "020700100103", "huc:02070010", "020801020304"],
    "schemes": ["huc"],
    "parameters": ["ph", "water_temperature", "dissolved_oxygen", "transparency", "e_coli"],
    "units": ["std units", "degC", "degF", "mg/L", "cm", "MPN/100 mL"],
    "kits": ["ph-tablet-comparator", "thermometer-alcohol", "oxygen-tablet-comparator"],
    "zones": ["UTC", "America/New_York", "Asia/Kathmandu"],
    "taxa": ["mayfly", "stonefly", "Gammaridae", "Baetidae", "worm", "leech"],
    "indices": ["family-biotic-extended", "taxa-richness", "ept-richness", "ept-percent"],
    "any version": ["*"],
    "codes": ["heron", "reed-01", "0207", "020700100103", "family-biotic-extended", "our-ph"],
}
WHERE = {
    "sites": ("path.site", "query.site", "body.site", "body.reference_sites[*]"),
    "schools": ("query.school", "body.school", "body.confirm"),
    "streams": ("path.stream", "query.stream", "body.stream"),
    "watersheds": ("query.watershed", "body.watershed.code"),
    "schemes": ("body.scheme", "body.watershed.scheme"),
    "parameters": ("query.parameter", "body.parameter", "body.readings[*].parameter"),
    "units": ("body.unit", "body.readings[*].unit"),
    "kits": ("body.kit", "body.readings[*].kit"),
    "zones": ("body.time_zone",),
    "taxa": ("body.catch.counts[*].taxon", "body.catch.counted_only[*]"),
    "indices": ("query.index", "body.metrics[*].index"),
    "any version": ("header.if-match",),
    "codes": ("path.code",),
}
OFTEN = 0.6
# A schema cannot say that a site must exist, that one day comes after another or which cursors were given;
# the service says it by 400 for a query and 422 for a body. No well-formed request is refused otherwise.
ALSO_RIGHT = ["2xx", "3xx", "400", "401", "403", "404", "409", "412", "422", "428"]
FIT = {
    "POST /v1/visits": visit(),
    "PUT /v1/visits/{visit_id}": visit(),
    "POST /v1/visits/{visit_id}/decisions": {"action": "reject", "reason": "no such water"},
}
FREE = ("visit_id", "team", "notes", "kind")  # of these bodies, what is made at random
HISTORY = tuple(f"GET /v1/visits/{{visit_id}}/{name}" for name in ("revisions", "decisions"))
LISTS = ("GET /v1/visits", "GET /v1/indices")
LONGEST_ANSWER_S = 120  # a busy machine is no breach
REFUSED = ["400", "401", "403", "404", "405", "409", "412", "413", "422", "428"]


@dataclass
class Fuzzed:
    """What was asked and answered."""

    cases: Counter[str] = field(default_factory=Counter)
    answered: Counter[tuple[str, str, int]] = field(default_factory=Counter)
    followed: Counter[str] = field(default_factory=Counter)  # where a step led with what was answered before
    failures: list[str] = field(default_factory=list)

    def succeeded(self, phase: str) -> set[str]:
        """Return the operations that succeeded at least once in a phase."""
        return {label for at, label, status in self.answered if at == phase and 200 <= status < 300}

    def note(self, phase: str, recorder: ScenarioRecorder) -> None:
        self.cases[phase] += len(recorder.cases)
        for case_id, one in recorder.interactions.items():
            case = recorder.cases[case_id]
            label = case.value.operation.label
            assert one.response is not None, f"{label} was not answered"
            status = int(one.response.status_code)
            self.answered[phase, label, status] += 1
            if case.is_transition_applied and 200 <= status < 300:
                self.followed[label] += 1
        for checks in recorder.checks.values():
            for check in checks:
                if (found := check.failure_info) is not None:
                    told = (
                        f"{check.name}: {found.failure.title}\n{found.failure.message}\n{found.code_sample}"
                    )
                    self.failures.append(f"{recorder.label} {told}")


def fuzz(app: FastAPI, key: str | None, phases: Phases, seed: int | None = None) -> Fuzzed:
    """Send what the document of an app allows and forbids, and apply every check to the answers.

    ``phases`` are those to run, each with what it generates: its ``mode``, and as ``max-examples`` how many
    cases of an operation, or of ``stateful`` how many walks. Names are often such as the network has. Each
    seed makes other requests; without one they are made from the document alone.
    """
    config = SchemathesisConfig.from_dict(
        {
            "headers": {"Authorization": f"Bearer {key}"} if key else {},
            "continue-on-failure": True,
            "request-timeout": LONGEST_ANSWER_S,
            "suppress-health-check": ["all"],
            "generation": {"deterministic": seed is None, "database": "none", "no-shrink": True},
            "phases": {"enabled": False}
            | {name: {"enabled": True, "generation": made} for name, made in phases.items()},
            "operations": [
                {
                    "include-name": "POST /v1/indices",  # an index takes many visits at its reference sites
                    "phases": {"stateful": {"enabled": False}},
                }
            ],
            "checks": {
                "negative_data_rejection": {"expected-statuses": REFUSED},
                "positive_data_acceptance": {"expected-statuses": ALSO_RIGHT},
            },
            "dictionaries": {name: {"values": values} for name, values in KNOWN.items()},
            "parameters": {
                place: {"dictionary": name, "probability": OFTEN}
                for name, places in WHERE.items()
                for place in places
            },
        }
        | ({} if seed is None else {"seed": seed})
    )
    schema = schemathesis.openapi.from_asgi("/openapi.json", app, config=config)
    schema.hook(map_case)
    schema.hook(filter_failure)
    fuzzed = Fuzzed()
    for event in from_schema(schema).execute():
        assert not isinstance(event, events.NonFatalError | events.FatalError), event
        if isinstance(event, events.ScenarioFinished):
            fuzzed.note(event.phase.value, event.recorder)
    return fuzzed


def map_case(context: HookContext, case: Case) -> Case:
    """Let a step that others follow be one that succeeds: few made at random would."""
    mode, phase = (case.meta.generation.mode, case.meta.phase.name) if case.meta else (None, None)
    if (mode, phase) == (GenerationMode.POSITIVE, TestPhase.STATEFUL):
        label = case.operation.label
        if label in LISTS:
            case.query = {}
        if label in FIT and isinstance(case.body, dict):
            case.body = FIT[label] | {name: case.body[name] for name in FREE if name in case.body}
    return case


def filter_failure(context: HookContext, failure: Failure, case: Case, response: Response) -> bool:
    """Let be what is meant to be so, and only that."""
    if isinstance(failure, UnsupportedMethodResponse):
        return response.status_code != 401  # who would write is first of all asked for his key
    if isinstance(failure, UseAfterFree):
        return not _stays_readable(case.operation.label, response)
    if isinstance(failure, AcceptedNegativeData):
        return "text/" not in case.headers.get("Content-Type", "")  # whatever is written there is text
    return True


def _stays_readable(label: str, response: Response) -> bool:
    """Tell whether this is a visit that says that it was withdrawn, or its history, which nobody erases."""
    return label in HISTORY or (
        label == "GET /v1/visits/{visit_id}" and bool(response.json()["state"] == "withdrawn")
    )
