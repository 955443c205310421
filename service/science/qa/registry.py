"""The checks that the service runs, in the order in which their answers are listed."""

from service.science.qa.check import Check, VisitCheck
from service.science.qa.checks import gross_range, kit_scale, oxygen_saturation, site_outlier, visit_clock

CHECKS: tuple[Check, ...] = (
    gross_range.CHECK,
    kit_scale.CHECK,
    visit_clock.CHECK,
    oxygen_saturation.CHECK,
    site_outlier.CHECK,
)

CATCH_CHECKS = frozenset(check.id for check in CHECKS if isinstance(check, VisitCheck) and check.of_catch)
