"""What a check found that leads to the hour or the place of a visit, as others than its school see it.

The public sees the date of a visit and its site, never the hour, nor where exactly a class stood, nor what a
school calls its boxes; what a check compared, and the sentence that it wrote about it, must not tell either.
"""

import re

from service.science.qa.checks.visit_clock import CHECK as VISIT_CLOCK
from service.science.qa.checks.visit_place import CHECK as VISIT_PLACE
from service.visits.answers import CheckAnswer

BOX = "box"
PRIVATE = frozenset({"local_time", "minutes_ahead", "twins", "distance_m", "distance_km", BOX})
ABOUT_NOTHING_ELSE = frozenset({VISIT_CLOCK.id, VISIT_PLACE.id})
_TIME_OF_DAY = re.compile(r"\d:\d\d")
TOLD = "What was found leads to the time of day or the place of the class; its school sees it."


def as_others_see_it(check: CheckAnswer) -> CheckAnswer:
    """Return what a check said without what is private to the school; its flag stays."""
    evidence = {name: value for name, value in check.evidence.items() if name not in PRIVATE}
    words = check.message + check.advice
    if words and (check.check in ABOUT_NOTHING_ELSE or _TIME_OF_DAY.search(words)):
        return check.model_copy(update={"message": TOLD, "advice": "", "evidence": evidence})
    message = check.message.replace(f"box {check.evidence.get(BOX)}", "the box")
    return check.model_copy(update={"message": message, "evidence": evidence})
