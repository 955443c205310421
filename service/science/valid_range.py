"""The one way a formula refuses a value outside the range it was made for."""


def require_within(what: str, value: float, low: float, high: float, unit: str) -> None:
    """Raise ``ValueError`` unless low <= value <= high. A value that is not a number is refused too."""
    if not low <= value <= high:
        raise ValueError(
            f"{what} {value:g} {unit} is outside {low:g} to {high:g} {unit}: no value is given there"
        )
