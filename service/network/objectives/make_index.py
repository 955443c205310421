"""The CCME index of one site and period, from what its visits read and the objectives that applied."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from service.network.objectives.ccme_words import reasons_of
from service.network.objectives.kit_steps import Steps
from service.network.objectives.period_objectives import Objectives, Period
from service.network.objectives.variables import variables_of
from service.network.objectives.visit_values import VisitValue
from service.reference.load import load_catalogue
from service.science.ccme_index import INDEX, CcmeIndex, ccme_index
from service.visits.interpret import seed_of

SHOWN_DECIMALS = 4


@dataclass(frozen=True, slots=True)
class MadeIndex:
    """An index with the period and the visits that it was made of, and what limits it in plain words."""

    index: CcmeIndex
    period: Period
    visits: int
    first_visit: date | None
    last_visit: date | None
    reasons: tuple[str, ...]


def make_index(
    site: str, values: Sequence[VisitValue], period: Period, objectives: Objectives, steps: Steps
) -> MadeIndex:
    """Return the index of a site over a period.

    ``values`` are those of the site, oldest first; what lies outside the period is passed over. The draws of
    its doubt are seeded by site and period: the same data always get the same numbers.
    """
    inside = [value for value in values if period.first <= value.on <= period.last]
    variables, left_out = variables_of(inside, objectives, steps)
    days = f"{period.first} to {period.last}"
    seed = seed_of(f"{site} {days}")
    definition = load_catalogue().definitions[INDEX.id]
    index = ccme_index(variables, days, definition, seed)
    tested = [value for value in inside if value.parameter in objectives.by_parameter]
    return MadeIndex(
        index=index,
        period=period,
        visits=len({value.visit_id for value in tested}),
        first_visit=tested[0].on if tested else None,
        last_visit=tested[-1].on if tested else None,
        reasons=(*reasons_of(index, objectives, definition), *left_out),
    )


def rounded(number: float | None) -> float | None:
    """Return a number of the index with the decimals that it is shown with."""
    return None if number is None else round(number, SHOWN_DECIMALS)
