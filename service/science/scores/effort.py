"""What the effort behind a catch does to a score of it: part of a sample, or a net that nobody described.

Reference
---------
Barbour, M.T., Gerritsen, J., Snyder, B.D. & Stribling, J.B. 1999. Rapid Bioassessment Protocols for Use in
Streams and Wadeable Rivers, 2nd ed., EPA 841-B-99-002, sections 7.1 to 7.3: numbers of kinds compare only
between catches of the same gear, area and subsample.
"""

from service.science.catch import Catch


def is_subsample(catch: Catch) -> bool:
    """Return whether the class noted that it sorted less than the whole sample."""
    return catch.sorted_share is not None and catch.sorted_share < 1.0


def sorted_words(catch: Catch) -> str:
    """Return how much of a subsample was sorted, such as "25 % of the sample"."""
    return f"{100.0 * (catch.sorted_share or 1.0):.3g} % of the sample"


def reasons_of_effort(catch: Catch) -> tuple[str, ...]:
    """Return in plain words why a number of kinds does not compare with that of another catch."""
    reasons = []
    if catch.gear is None and catch.area_m2 is None:
        reasons.append("neither gear nor area was noted: this number does not compare with other catches")
    if is_subsample(catch):
        reasons.append(f"only {sorted_words(catch)} was sorted: compare only with catches sorted like it")
    return tuple(reasons)
