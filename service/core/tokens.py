"""Access keys: what a caller sends, and the only form in which we keep it."""

import hashlib
import secrets
import zlib

PREFIX = "wb_"
_ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"
_SECRET_LENGTH = 43  # 62**43 > 2**256
_CHECKSUM_LENGTH = 6


def _checksum(secret: str) -> str:
    number = zlib.crc32(secret.encode())
    digits = ""
    for _ in range(_CHECKSUM_LENGTH):
        number, digit = divmod(number, len(_ALPHABET))
        digits = _ALPHABET[digit] + digits
    return digits


def new_token() -> str:
    """Return a fresh key: prefix, at least 256 random bits, checksum. Shown once, never stored."""
    secret = "".join(secrets.choice(_ALPHABET) for _ in range(_SECRET_LENGTH))
    return PREFIX + secret + _checksum(secret)


def is_well_formed(token: str) -> bool:
    """Tell whether a key is complete and unmangled, without asking the database."""
    secret, checksum = token[len(PREFIX) : -_CHECKSUM_LENGTH], token[-_CHECKSUM_LENGTH:]
    return token.startswith(PREFIX) and len(secret) == _SECRET_LENGTH and checksum == _checksum(secret)


def fingerprint(token: str) -> str:
    """Return the SHA-256 of a key in hexadecimal: enough for a random key, and quick."""
    return hashlib.sha256(token.encode("utf-8", "surrogatepass")).hexdigest()
