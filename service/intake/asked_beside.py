"""Which questions about how a reading was taken its kit makes worth asking."""

from service.intake.field_order import BESIDE, Field, Sheet, fields
from service.science.qa.checks.bubble import CLOSED_BOTTLE_KINDS
from service.science.qa.reagents import REAGENT_KINDS
from service.science.types import Kit


def asked_beside(kit: Kit | None) -> tuple[Field, ...]:
    """Return the questions that belong beside a reading of a kit, in the order of the work."""
    if kit is None:
        return ()
    waits = kit.wait_minutes_min is not None or kit.wait_minutes_max is not None
    thermometer = kit.kind == "thermometer"
    matters = {
        "seconds_in_water": thermometer,
        "minutes_waited": waits and not thermometer,
        "bubble_free": kit.parameter == "dissolved_oxygen" and kit.kind in CLOSED_BOTTLE_KINDS,
        "tablets": kit.tablets is not None,
        "sample_ml": kit.sample_ml is not None,
        "box": kit.kind in REAGENT_KINDS,
    }
    asked = (one for one in fields(Sheet.VISITS) if one.kind in BESIDE)
    return tuple(one for one in asked if matters.get(one.field, False))
