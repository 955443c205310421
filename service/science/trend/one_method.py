"""One kind of method throughout: a change of kit must not become a change of the stream."""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from service.science.trend.monthly_medians import Observation


@dataclass(frozen=True, slots=True)
class MethodRun:
    """The observations of one ``method``, and how many of each method were ``left_out``."""

    method: str
    observations: tuple[Observation, ...]
    left_out: Mapping[str, int]


def newest_run(observations: Sequence[Observation]) -> MethodRun:
    """Return the newest run of one kind of method.

    The kind is the commonest of the newest month. Its run goes back to the last calendar year in which only
    other kinds were used; single readings by another kind within the run are left out and do not end it.

    Parameters
    ----------
    observations : sequence of Observation
        In the order of time.

    Returns
    -------
    MethodRun
        Without observations its method is empty.
    """
    if not observations:
        return MethodRun("", (), {})
    newest = observations[-1].on
    this_month = [one.method for one in observations if one.on.replace(day=1) == newest.replace(day=1)]
    counted = Counter(reversed(this_month))  # of equally common kinds the first that is met: the newest
    method = counted.most_common(1)[0][0]
    used: defaultdict[int, set[str]] = defaultdict(set)
    for one in observations:
        used[one.on.year].add(one.method)
    since = max((year for year, methods in used.items() if method not in methods), default=0)
    kept = tuple(one for one in observations if one.method == method and one.on.year > since)
    left_out = Counter(one.method for one in observations)
    left_out[method] -= len(kept)
    return MethodRun(method, kept, {name: count for name, count in left_out.items() if count})
