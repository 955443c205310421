"""Access keys: hard to guess, recognised when mangled, kept only as a fingerprint."""

import pytest

from service.core.tokens import PREFIX, fingerprint, is_well_formed, new_token

DIGITS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"


def crc_32(data: bytes) -> int:
    """CRC-32/ISO-HDLC bit by bit, from its polynomial: a second way to the same number."""
    register = 0xFFFF_FFFF
    for byte in data:
        register ^= byte
        for _ in range(8):
            register = register >> 1 ^ (0xEDB8_8320 if register & 1 else 0)
    return register ^ 0xFFFF_FFFF


def six_digits(number: int) -> str:
    return "".join(DIGITS[number // 62**place % 62] for place in range(5, -1, -1))


def test_the_second_way_is_crc_32() -> None:
    assert crc_32(b"123456789") == 0xCBF4_3926  # the check value every list of CRCs gives (from memory)


def test_a_new_key_is_well_formed_and_its_tail_is_the_checksum_of_its_secret() -> None:
    token = new_token()
    secret, tail = token[len(PREFIX) : -6], token[-6:]
    assert is_well_formed(token)
    assert tail == six_digits(crc_32(secret.encode()))


def test_the_secret_holds_at_least_256_bits() -> None:
    secret = new_token()[len(PREFIX) : -6]
    assert set(secret) <= set(DIGITS)
    assert 62 ** len(secret) >= 2**256


def test_every_place_of_the_secret_varies() -> None:
    tokens = [new_token() for _ in range(300)]
    assert len(set(tokens)) == 300
    # A place with 62 equally likely digits shows fewer than 30 of them in 300 keys less than once in 10**30.
    places = list(zip(*tokens, strict=True))[len(PREFIX) : -6]
    assert [digits for digits in places if len(set(digits)) < 30] == []


def test_every_change_of_a_single_character_is_caught() -> None:
    token = new_token()
    missed = [
        (place, digit)
        for place, right in enumerate(token)
        for digit in DIGITS + "_-. é"
        if digit != right and is_well_formed(token[:place] + digit + token[place + 1 :])
    ]
    assert missed == []


def test_two_neighbours_exchanged_are_caught() -> None:
    token = new_token()
    exchanged = [token[:n] + token[n + 1] + token[n] + token[n + 2 :] for n in range(len(token) - 1)]
    assert [other for other in exchanged if other != token and is_well_formed(other)] == []


@pytest.mark.parametrize(
    "mangle", [str.upper, str.lower, lambda t: t[:-1], lambda t: t[1:], lambda t: t + "0"]
)
def test_a_key_that_was_not_copied_whole_is_caught(mangle) -> None:
    assert not is_well_formed(mangle(new_token()))


@pytest.mark.parametrize(
    "text", ["", " ", PREFIX, "wb_" + "0" * 49, "Bearer " + "x" * 45, "é" * 52, "0" * 10_000]
)
def test_what_was_never_a_key_is_none(text: str) -> None:
    assert not is_well_formed(text)


def test_the_fingerprint_is_sha_256() -> None:
    # NIST, FIPS 180 examples: the digest of "abc".
    assert fingerprint("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
