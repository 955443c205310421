import pytest

from service.intake.mapping.written.words import MOST_ASKED, NearWords, plain_word


@pytest.mark.parametrize(
    ("written", "plain"),
    [
        (" Clear ", "clear"),
        ("PARTLY\u00a0 cloudy", "partly cloudy"),
        ("a\nb", "a b"),
        ("\u00b5S/cm", "\u03bcs/cm"),  # the micro sign and the Greek letter
        ("Me\u0301audret", "m\u00e9audret"),
        ("Straße", "strasse"),
        ("", ""),
    ],
)
def test_capitals_and_blanks_make_no_difference(written: str, plain: str) -> None:
    assert plain_word(written) == plain


@pytest.mark.parametrize(
    ("word", "known", "question"),
    [
        ("claer", ["clear", "overcast"], "; did you mean clear?"),
        ("Mill Crek", ["Mill Creek", "Mill Creak"], "; did you mean Mill Creek or Mill Creak?"),
        ("fog", ["clear"], ""),
        ("34", ["36", "35"], ""),
        ("x" * 81, ["x" * 80], ""),
    ],
)
def test_what_is_near(word: str, known: list[str], question: str) -> None:
    assert NearWords(known).did_you_mean(word) == question


def test_a_sheet_full_of_wrong_words_is_not_looked_up_for_ever() -> None:
    near = NearWords(["clear"])
    assert [near.did_you_mean(f"clear{number}") for number in range(MOST_ASKED)] == [
        "; did you mean clear?"
    ] * MOST_ASKED
    assert near.did_you_mean("claer") == ""
    assert near.did_you_mean("clear0") == "; did you mean clear?"
