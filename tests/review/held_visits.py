"""Visits that the checks hold, and a site's past to hold them against."""

from tests.api import Api, Json, reading, visit

TUBE = "transparency-tube-120"


def clear_weeks(api: Api, days: int = 12, site: str = "reed-02", key: str = "heron") -> None:
    """Hand in a week or two of clear water, 68 to 70 cm."""
    for day in range(1, days + 1):
        row = reading("transparency", 68 + day % 3, "cm", kit=TUBE)
        api.submit(visit(site, f"2026-03-{day:02}T10:00:00-05:00", readings=[row]), key)


def murky(day: int, value: float = 9, **more: object) -> Json:
    """Return a visit after a storm: water far murkier than the site ever was."""
    row = reading("transparency", value, "cm", kit=TUBE)
    return visit(observed_at=f"2026-03-{day:02}T10:00:00-04:00", readings=[row]) | more


def fahrenheit() -> Json:
    """Return a visit whose thermometer was read in Fahrenheit and written as Celsius."""
    rows = [
        reading("water_temperature", 64, "degC", kit="thermometer-alcohol"),
        reading("dissolved_oxygen", 8, "mg/L", kit="oxygen-tablet-comparator"),
    ]
    return visit(readings=rows)


def decide(api: Api, visit_id: str, action: str, reason: str = "looked at it", **more: object) -> Json:
    """Decide as the coordinator and return the visit as it then stands."""
    answer = api.post(f"/v1/visits/{visit_id}/decisions", {"action": action, "reason": reason} | more)
    assert answer.status_code == 200, answer.text
    return answer.json()


def outlier(answer: Json, position: int = 0) -> Json:
    """Return what the comparison with the site's past found about a reading."""
    return next(row for row in answer["readings"][position]["checks"] if row["check"] == "site-outlier")
