"""How many answers are kept, and which make room (our own rule: what was asked for last stays)."""

from service.core.answers_kept import BESIDE_BYTES, AnswersKept, KeptAnswer

ROOM = 8 * BESIDE_BYTES
ONE = KeptAnswer((), b"x" * BESIDE_BYTES)  # takes a quarter of the room: the most that one may


def held(kept: AnswersKept, names: str) -> str:
    return "".join(name for name in names if kept.find(name) is not None)


def test_those_that_nobody_asked_for_make_room() -> None:
    kept = AnswersKept(ROOM)
    for name in "abcd":
        kept.keep(name, ONE)
    assert kept.find("a") is ONE
    kept.keep("e", ONE)
    assert held(kept, "abcde") == "acde"


def test_one_that_is_too_large_drives_nothing_out() -> None:
    kept = AnswersKept(ROOM)
    kept.keep("a", ONE)
    kept.keep("b", KeptAnswer((), ONE.content + b"x"))
    assert held(kept, "ab") == "a"


def test_the_same_twice_takes_the_room_of_one() -> None:
    kept = AnswersKept(ROOM)
    for name in "aaaaaabcd":
        kept.keep(name, ONE)
    assert held(kept, "abcd") == "abcd"


def test_many_small_ones_are_bounded_too() -> None:
    kept = AnswersKept(ROOM)
    for number in range(100):
        kept.keep(str(number), KeptAnswer((), b""))
    assert [number for number in range(100) if kept.find(str(number))] == list(range(92, 100))


def test_without_room_nothing_is_kept() -> None:
    kept = AnswersKept(0)
    kept.keep("a", KeptAnswer((), b""))
    assert kept.find("a") is None
