"""Asking that something is refused, and why."""

from collections.abc import Callable
from typing import Any

import pytest

from service.intake.mapping.cell_problem import Refused


def refusal(read: Callable[..., Any], *arguments: Any, **named: Any) -> str:
    """Return the reason for which a reader refuses a cell."""
    with pytest.raises(Refused) as caught:
        read(*arguments, **named)
    return caught.value.reason
