"""A criterion: the value of one parameter that a stream should keep."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Criterion:
    """A value to be met, in the parameter's unit of storage; equal to the limit meets it.

    ``at_least`` and ``at_most`` may both be given (pH). A ``formula`` gives the limit from other readings of
    the visit instead. ``source`` says whose criterion it is.
    """

    code: str
    name: str
    parameter: str
    unit: str
    at_least: float | None
    at_most: float | None
    source: str
    formula: str | None = None
