"""The parameters that a head or a word may stand for, where it does not say which."""

from service.intake.propose.units import Unit, unit_in_head

MAY_BE = {
    "dissolved_oxygen": ("dissolved_oxygen", "dissolved_oxygen_saturation"),
    "conductivity": ("specific_conductance", "conductivity"),
    "flow_number": ("current_velocity", "discharge"),
    "nitrate_and_nitrite": ("nitrate",),
    "some_depth": ("water_depth",),
}


def may_be(means: str, head: str) -> tuple[str, ...]:
    """Return the parameters that a column or a word may be of, the likeliest first."""
    if means == "turbidity" and unit_in_head("transparency", head):
        return ("transparency",)
    return MAY_BE.get(means, (means,))


def units_in_head(parameters: tuple[str, ...], head: str) -> list[tuple[str, Unit]]:
    """Return the parameters whose unit a head names, each with that unit."""
    return [(parameter, unit) for parameter in parameters if (unit := unit_in_head(parameter, head))]
