"""How many requests a minute a caller may send."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Rates:
    """Requests a minute of a key, of an address without one, and wrong keys of an address; 0: no limit."""

    per_key: int
    per_address: int
    failed_keys: int


NO_LIMIT = Rates(0, 0, 0)
