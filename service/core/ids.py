"""Identifiers that sort by the time they were made."""

import secrets
import time
import uuid


def uuid7() -> uuid.UUID:
    """Return a version 7 UUID: 48 bits of milliseconds, then random bits.

    Reference
    ---------
    RFC 9562 (2024), Universally Unique IDentifiers, section 5.7.
    """
    milliseconds = time.time_ns() // 1_000_000
    value = (milliseconds & (2**48 - 1)) << 80 | 0x7 << 76
    value |= secrets.randbits(12) << 64 | 0b10 << 62 | secrets.randbits(62)
    return uuid.UUID(int=value)
