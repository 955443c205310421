"""A network full of secrets, and its twin: alike in all that is public, different in all that is private.

Every secret is a word that no hash, id or code can contain, an hour at which nothing else happens, or a place
with more decimals than the public sees.
"""

import re
import uuid
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from tests.api import Api, Json, catch, reading, visit
from tests.intake.imports.files import MAPPING
from tests.network.reference_network import CATCHES, SITES, define, spring_catch

RELEASED, LATER, TOUCHED, HELD, REJECTED, WITHDRAWN, TAKEN_BACK, NIGHT, MURKY, CLEAR, ABOVE = (
    uuid.UUID(int=n) for n in range(11, 22)
)
SITE = "quiet-01"
PUBLIC_PLACE = (40.123, -75.654)


@dataclass(frozen=True, slots=True)
class Private:
    """What differs between the twins. ``mark`` stands in every word; ``hours`` are local, in winter."""

    mark: str
    place: tuple[float, float]
    hours: tuple[str, ...]
    value: float  # of readings that are held
    day: str  # of visits that are held
    animals: int


# The minute is far from the present one, which answers may tell, and no round one, as in examples (14:05).
MINUTE = (datetime.now(UTC).minute + 30) // 5 * 5 % 60 + 3
PLANTED = Private("quillwort", (40.1226541, -75.6538765), ("09", "11", "10", "02"), 77.125, "2026-01-15", 7)
TWIN = Private("zyzomys", (40.1231217, -75.6541987), ("12", "10", "11", "03"), 63.375, "2026-02-20", 31)


def secrets_of(private: Private) -> re.Pattern[str]:
    """Return what must not stand in any answer: words, hours, exact places, and whatever is not released."""
    # As sent (UTC-5), by the site's clock in summer (UTC-4), and in UTC.
    hours = sorted({f"{int(hour) + later:02}" for hour in private.hours for later in (0, 1, 5)})
    clock = rf"\b(?:{'|'.join(hours)})[:.h]{MINUTE:02}\b"
    places = [str(abs(degrees))[:7] for degrees in (*private.place, *_device(private))]
    hidden = [str(visit_id) for visit_id in (HELD, REJECTED, WITHDRAWN)]
    plain = [private.mark, *places, *hidden, ".271828", str(private.value), private.day]
    return re.compile("|".join([clock, *map(re.escape, plain)]), re.IGNORECASE)


def _device(private: Private) -> tuple[float, float]:
    return private.place[0] + 0.0012, private.place[1] - 0.0013


def plant(api: Api, private: Private) -> None:
    """Enter the network: what is heron's is secret, unless it is released."""
    mark = private.mark
    _steer(api, private)
    place = dict(zip(("latitude", "longitude"), _device(private), strict=True))
    told = {"notes": f"gate code {mark}", "team": f"team-{mark}", "place": place}
    for visit_id, day, hour, more in (
        (RELEASED, "2026-03-12", private.hours[0], {"catch": catch(("mayfly", 30), ("worm", 9))}),
        (LATER, "2026-03-12", private.hours[1], {}),
        (TOUCHED, "2026-03-12", private.hours[2], {"conditions": {"dead_fish": True, "weather": "clear"}}),
    ):
        _submit(api, visit_id, day, hour, **told, **more)
    _plant_a_day(api, private, {"notes": told["notes"], "team": f"d-{mark}"})
    doubted = [
        reading("dissolved_oxygen", 14, "mg/L"),
        reading("water_temperature", 20, "degC"),
        reading("ph", 9.5, kit="ph-meter", kit_lot=f"box-{mark}"),
    ]
    vague = catch(("some thing", 30), ("mayfly", 2))
    _submit(api, NIGHT, "2026-03-13", private.hours[3], readings=doubted, catch=vague, **told)
    _decide(api, NIGHT, "release", mark)
    odd = [reading("ph", 15), reading("specific_conductance", private.value, "uS/cm")]
    odd_catch = catch((f"thing {mark}", private.animals))
    for visit_id in (HELD, REJECTED, WITHDRAWN):
        _submit(api, visit_id, private.day, private.hours[0], readings=odd, catch=odd_catch, **told)
    _decide(api, REJECTED, "reject", mark)
    assert api.call("DELETE", f"/v1/visits/{WITHDRAWN}", "heron").status_code == 200
    _submit(api, TAKEN_BACK, private.day, private.hours[1], notes=mark, team=f"b-{mark}")
    assert api.call("DELETE", f"/v1/visits/{TAKEN_BACK}", "heron").status_code == 200
    corrected = visit(SITE, _at("2026-03-12", private.hours[2]), **told | {"notes": f"corrected {mark}"})
    tags = {"If-Match": "*"}
    assert api.call("PUT", f"/v1/visits/{LATER}", "heron", json=corrected, headers=tags).status_code == 200


def _plant_a_day(api: Api, private: Private, told: Json) -> None:
    """Hand in visits of one day of which only the hours tell which come first, and which are near in time."""
    for visit_id, hour, value in ((MURKY, private.hours[0], 8), (CLEAR, private.hours[1], 2)):
        _submit(api, visit_id, "2026-03-12", hour, readings=[reading("turbidity", value, "NTU")], **told)
    above = [reading("ph", 7, kit="ph-tablet-comparator")]
    _submit(api, ABOVE, "2026-03-12", "08", site="reed-02", readings=above, **told)


def _steer(api: Api, private: Private) -> None:
    """Enter what the coordinator enters, with a secret wherever one may stand."""
    mark = private.mark
    contact = {"contact_email": f"{mark}@heron.example"}
    assert api.call("PATCH", "/v1/schools/heron", "coordinator", json=contact).status_code == 200
    site = {
        "code": SITE, "name": "Quiet", "school": "heron", "stream": "reed", "stream_km": 3.0,
        "latitude": private.place[0], "longitude": private.place[1], "elevation_m": 100,
        "watershed": {"scheme": "huc", "code": "020700100103"}, "established_on": "2024-09-01",
    }  # fmt: skip
    once = {"Idempotency-Key": f"once-{mark}"}
    assert api.call("POST", "/v1/sites", "coordinator", json=site, headers=once).status_code == 201
    for number in range(2):
        key = {"role": "reader", "label": f"wall {mark} {number}"}
        assert api.call("POST", "/v1/keys", "coordinator", json=key).status_code == 201
    lot = {"school": "heron", "code": f"box-{mark}", "kit": "ph-meter", "expires_on": "2026-01-31"}
    assert api.post("/v1/kit-lots", lot).status_code == 201
    sheet = MAPPING | {"notes": [{"column": f"Remarks {mark}", "word": mark}]}
    kept = api.call("PUT", f"/v1/schools/heron/mappings/sheet-{mark}", "heron", json=sheet)
    assert kept.status_code == 201, kept.text
    assert api.post("/v1/sites", site | {"code": "reed-03", "stream_km": 6.0}).status_code == 201
    for number, animals in enumerate(CATCHES):
        day = f"2025-{4 + number // 6:02}-{3 + 2 * number % 12:02}"
        where = SITES[number % len(SITES)]
        sample = visit(where, f"{day}T10:15:00-04:00", catch=spring_catch(animals))
        api.submit(sample | {"visit_id": str(uuid.UUID(int=100 + number))}, "coordinator")
    define(api)


def _at(day: str, hour: str) -> str:
    return f"{day}T{hour}:{MINUTE:02}:13.271828-05:00"


def _submit(api: Api, visit_id: uuid.UUID, day: str, hour: str, **more: Any) -> Json:
    return api.submit(visit(observed_at=_at(day, hour), visit_id=str(visit_id), **{"site": SITE} | more))


def _decide(api: Api, visit_id: uuid.UUID, action: str, mark: str) -> None:
    body = {"action": action, "reason": f"seen by {mark}"}
    assert api.post(f"/v1/visits/{visit_id}/decisions", body).status_code == 200
