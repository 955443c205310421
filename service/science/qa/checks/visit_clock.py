"""Can the visit have happened when it says: not in the future, not before the site, not twice?"""

from datetime import UTC, datetime, timedelta

from service.science.flags import Flag
from service.science.qa.check import Limits, Stage, VisitCheck
from service.science.qa.wording import number_words
from service.science.types import Finding, Visit

ADVICE_CLOCK = "Look at the date, the time and the time zone of the visit, and at the clock of the device."
ADVICE_SITE = "Look at the year and at the site. If both are right, ask your coordinator to correct the site."
ADVICE_TWIN = (
    "If it is the same visit, do nothing more: it is stored. If two groups worked side by side, give each "
    "its own team code. To correct a stored visit, change that one."
)


def run(visit: Visit, limits: Limits) -> Finding:
    """Look for what contradicts the time of the visit; everything found is told at once.

    Parameters
    ----------
    visit : ``observed_at`` in the site's time zone, ``received_at``, the site's first day, the twins
    limits : ``future_tolerance_minutes`` [min], by how much a device clock may run ahead;
        ``earliest_hour`` [h], before which no class is at a stream

    Returns
    -------
    Finding
        4 when the visit lies in the future, before the site was set up, or is stored already; 3 in the middle
        of the night by the site's clock; else 1. However old a visit is, it passes: last year's notebook may
        be typed in today.
    """
    # Two times of one zone are compared by their wall clocks, which run twice through an hour in autumn.
    ahead = visit.observed_at.astimezone(UTC) - visit.received_at.astimezone(UTC)
    problems: list[tuple[str, str]] = []
    if ahead > timedelta(minutes=limits["future_tolerance_minutes"]):
        problems.append((_told_future(visit.observed_at, ahead), ADVICE_CLOCK))
    started_on, observed_on = visit.site.established_on, visit.observed_at.date()
    if started_on is not None and observed_on < started_on:
        message = f"The visit is dated {observed_on}, but the site only exists since {started_on}."
        problems.append((message, ADVICE_SITE))
    if visit.twins:
        message = "A visit of this team at this site and this very time is already stored."
        problems.append((message, ADVICE_TWIN))
    flag = Flag.FAIL if problems else Flag.PASS
    if not problems and visit.observed_at.hour < limits["earliest_hour"]:
        flag, problems = Flag.SUSPECT, [(_told_night(visit.observed_at), ADVICE_CLOCK)]
    return Finding(
        flag,
        " ".join(message for message, _ in problems),
        {
            "minutes_ahead": round(ahead.total_seconds() / 60, 1),
            "site_established_on": None if started_on is None else started_on.isoformat(),
            "twins": ", ".join(visit.twins),
            "tolerance_minutes": limits["future_tolerance_minutes"],
        },
        " ".join(advice for _, advice in problems),
    )


def _told_night(observed_at: datetime) -> str:
    afternoon = observed_at + timedelta(hours=12)
    return f"The visit is timed {observed_at:%H:%M}, in the middle of the night. Was it {afternoon:%H:%M}?"


def _told_future(observed_at: datetime, ahead: timedelta) -> str:
    minutes = round(ahead.total_seconds() / 60)
    if minutes < 120:
        lead = f"{minutes} minutes"
    elif minutes < 2 * 24 * 60:
        lead = f"{number_words(round(minutes / 60))} hours"
    else:
        lead = f"{ahead.days} days"
    return f"The visit is dated {observed_at:%Y-%m-%d %H:%M}, which is {lead} in the future."


CHECK = VisitCheck(
    id="visit-clock",
    version=1,
    stage=Stage.CONTRADICTION,
    run=run,
    needs=("future_tolerance_minutes", "earliest_hour"),
    for_blanks=True,
)
