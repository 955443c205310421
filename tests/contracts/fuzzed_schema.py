"""Requests that nobody thought of, made from the service's own document, and what their answers lacked."""

from collections import Counter
from dataclasses import dataclass, field
from typing import Any

import schemathesis
from fastapi import FastAPI
from schemathesis.config import SchemathesisConfig
from schemathesis.engine import events, from_schema
from schemathesis.engine.recorder import ScenarioRecorder

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
    "codes": ("path.code",),
}
OFTEN = 0.6
# A schema cannot say that a site must exist, that one day comes after another or which cursors were given;
# the service says it by 400 for a query and 422 for a body. No well-formed request is refused otherwise.
ALSO_RIGHT = ["2xx", "3xx", "400", "401", "403", "404", "409", "412", "422", "428"]
REFUSED = ["400", "401", "403", "404", "405", "409", "412", "413", "422", "428"]


@dataclass
class Fuzzed:
    """What was asked and answered."""

    cases: Counter[str] = field(default_factory=Counter)
    answered: Counter[tuple[str, str, int]] = field(default_factory=Counter)
    failures: list[str] = field(default_factory=list)

    def succeeded(self, phase: str) -> set[str]:
        """Return the operations that succeeded at least once in a phase."""
        return {label for at, label, status in self.answered if at == phase and 200 <= status < 300}

    def note(self, phase: str, recorder: ScenarioRecorder) -> None:
        self.cases[phase] += len(recorder.cases)
        for case_id, one in recorder.interactions.items():
            label = recorder.cases[case_id].value.operation.label
            assert one.response is not None, f"{label} was not answered"
            self.answered[phase, label, int(one.response.status_code)] += 1
        for checks in recorder.checks.values():
            for check in checks:
                if (found := check.failure_info) is not None:
                    told = (
                        f"{check.name}: {found.failure.title}\n{found.failure.message}\n{found.code_sample}"
                    )
                    self.failures.append(f"{recorder.label} {told}")


def fuzz(app: FastAPI, key: str | None, phases: dict[str, int | None], seed: int = 1) -> Fuzzed:
    """Send what the document of an app allows and forbids, and apply every check to the answers.

    ``phases`` gives the phases to run with how many examples each makes of an operation (of ``stateful``: how
    many walks); ``coverage`` takes no number. The same seed sends the same again.
    """
    config = SchemathesisConfig.from_dict(
        {
            "seed": seed,
            "headers": {"Authorization": f"Bearer {key}"} if key else {},
            "generation": {"deterministic": seed == 1, "database": "none", "no-shrink": True},
            "phases": {"enabled": False} | {name: _phase(examples) for name, examples in phases.items()},
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
    )
    schema = schemathesis.openapi.from_asgi("/openapi.json", app, config=config)
    fuzzed = Fuzzed()
    for event in from_schema(schema).execute():
        assert not isinstance(event, events.NonFatalError | events.FatalError), event
        if isinstance(event, events.ScenarioFinished):
            fuzzed.note(event.phase.value, event.recorder)
    return fuzzed


def _phase(examples: int | None) -> dict[str, Any]:
    return {"enabled": True} | ({"generation": {"max-examples": examples}} if examples else {})
