"""Ids: UUIDs of version 7, which sort by the time they were made."""

import time
import uuid

from service.core.ids import uuid7


def milliseconds(made: uuid.UUID) -> int:
    return made.int >> 80


def test_the_reading_of_the_time_is_right() -> None:
    # RFC 9562, appendix A.6: the example was made on 2022-02-22 at 19:22:22 UTC.
    assert milliseconds(uuid.UUID("017f22e2-79b0-7cc3-98c4-dc0c0c07398f")) == 1_645_557_742_000


def test_version_and_variant_are_those_of_rfc_9562() -> None:
    made = [uuid7() for _ in range(50)]
    assert {one.version for one in made} == {7}
    assert {one.variant for one in made} == {uuid.RFC_4122}


def test_an_id_carries_the_millisecond_in_which_it_was_made() -> None:
    before = time.time_ns() // 1_000_000
    made = uuid7()
    assert before <= milliseconds(made) <= time.time_ns() // 1_000_000


def test_ids_of_later_milliseconds_sort_later_as_numbers_and_as_text() -> None:
    made = []
    for _ in range(5):
        made.append(uuid7())
        time.sleep(0.002)
    assert made == sorted(made)
    assert [str(one) for one in made] == sorted(str(one) for one in made)


def test_every_bit_that_is_not_time_version_or_variant_is_random() -> None:
    numbers = [uuid7().int for _ in range(200)]
    assert len(set(numbers)) == 200
    free = [bit for bit in range(76) if bit not in (62, 63)]
    assert len(free) == 74  # 12 + 62 bits, RFC 9562 section 5.7
    assert [bit for bit in free if len({number >> bit & 1 for number in numbers}) < 2] == []
