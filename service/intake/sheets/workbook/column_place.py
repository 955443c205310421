"""A column by its letters."""


def column_place(letters: str) -> int:
    """Return the place of a column from 0: A is 0, AA is 26."""
    place = 0
    for letter in letters:
        place = place * 26 + ord(letter) - ord("A") + 1
    return place - 1
