"""The one way a formula refuses a value outside the range it was made for."""

import numpy as np
from numpy.typing import NDArray


def require_within(what: str, value: float | NDArray[np.float64], low: float, high: float, unit: str) -> None:
    """Raise ``ValueError`` unless low <= value <= high. A value that is not a number is refused too.

    Of several values the first one outside is named.
    """
    if isinstance(value, np.ndarray):
        outside = ~((low <= value) & (value <= high))
        if not outside.any():
            return
        value = float(value[outside].flat[0])
    elif low <= value <= high:
        return
    raise ValueError(
        f"{what} {value:g} {unit} is outside {low:g} to {high:g} {unit}: no value is given there"
    )
