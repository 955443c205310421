"""Identifiers that sort by the time they were made."""

import secrets
import time
import uuid

DAY_MS = 86_400_000


def uuid7(*, only_day: bool = False) -> uuid.UUID:
    """Return a version 7 UUID: 48 bits of milliseconds, then random bits.

    With ``only_day`` the time in it is the day's first instant (UTC): the id of a visit is public, the time
    of day at which a class stands at a creek is not.

    Reference
    ---------
    RFC 9562 (2024), Universally Unique IDentifiers, section 5.7.
    """
    milliseconds = time.time_ns() // 1_000_000
    if only_day:
        milliseconds -= milliseconds % DAY_MS
    value = (milliseconds & (2**48 - 1)) << 80 | 0x7 << 76
    value |= secrets.randbits(12) << 64 | 0b10 << 62 | secrets.randbits(62)
    return uuid.UUID(int=value)
