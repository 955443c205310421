import pytest

from service.science.flags import Flag
from service.science.qa.checks import catch_mixed_levels
from tests.science.qa.catch_visits import visit_catching
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import visit_with

LIMITS = limits_for("catch-mixed-levels")


def finding(*lines):
    return catch_mixed_levels.run(visit_catching(*lines), LIMITS)


@pytest.mark.parametrize(
    ("lines", "flag"),
    [
        # sums worked by hand; which family belongs to which order: any key (common practice)
        (("mayfly 38", "Baetidae 21", "Heptageniidae 12"), 3),
        (("mayfly 33", "Baetidae 21", "Heptageniidae 12"), 3),
        (("mayfly 32", "Baetidae 21", "Heptageniidae 12"), 1),
        (("mayfly 20", "mayfly/nymph 13", "Baetidae 21", "Heptageniidae 12"), 3),  # two lines of the order
        (("dragonfly 9", "Aeshnidae 4", "Gomphidae 3"), 3),
        (("snail 20", "Physidae 9", "Planorbidae 3"), 3),
        (("Odonata 12", "dragonfly 5", "Coenagrionidae 6"), 3),  # a suborder under its order
        # one finer name alone: the rest was left at the order
        (("mayfly 38", "Baetidae 21"), 1),
        (("mayfly 38", "Baetidae/larva 21", "Baetidae/nymph 12"), 1),
        # what would be counted twice is 10 and 9 of 100 animals
        (("mayfly 20", "Baetidae 6", "Heptageniidae 4", "scud 70"), 3),
        (("mayfly 20", "Baetidae 5", "Heptageniidae 4", "scud 71"), 1),
        (("mayfly 20", "Baetidae 4", "Heptageniidae 3", "scud 43"), 3),  # 7 of 70
        # other orders, and one family at several levels or stages, are no parts
        (("mayfly 38", "Perlidae 21", "Hydropsychidae 12"), 1),
        (("midge 29", "bloodworm 8"), 1),
        (("riffle beetle/larva 9", "riffle beetle/adult 4"), 1),
        (("Corydalidae 5", "hellgrammite 3", "fishfly 1"), 1),
        # not found, and not scored
        (("mayfly 38", "Baetidae 0", "Heptageniidae 0"), 1),
        (("worm 14", "earthworm 5", "Naididae 0"), 1),
        ((), 1),
    ],
)
def test_totals_and_what_is_left_over(lines, flag):
    assert finding(*lines).flag == flag


def test_a_possible_total_is_asked_about():
    found = finding("mayfly 38", "Baetidae 21", "Heptageniidae 12")
    assert found.message == (
        'Counted as more animals, not named further: "mayfly" 38 beside "Baetidae" 21, "Heptageniidae" 12. '
        'Is "mayfly" 38 all of them, or only what was left over?'
    )
    assert found.advice == (
        'If that was all of them, send only what is left over: "mayfly" 5. If it was what was left over, '
        "write that in the notes."
    )
    assert found.evidence == {"coarse": "Ephemeroptera", "coarse_animals": 38, "finer_animals": 33}


def test_what_is_certainly_left_over_is_told_without_a_question():
    found = finding("mayfly 5", "Baetidae 21", "Heptageniidae 12")
    assert found.message == (
        'Counted as more animals, not named further: "mayfly" 5 beside "Baetidae" 21, "Heptageniidae" 12.'
    )
    assert found.advice == ""


def test_only_the_doubtful_ones_are_in_the_question():
    found = finding("mayfly 5", "Baetidae 21", "stonefly 9", "Perlidae 4", "Nemouridae 5")
    assert found.flag is Flag.SUSPECT
    assert found.message.endswith('"Perlidae" 4. Is "stonefly" 9 all of them, or only what was left over?')
    assert '"stonefly" 0.' in found.advice


def test_one_level_needs_no_word():
    assert finding("mayfly 5", "scud 4").message == ""


def test_letters_are_not_compared():
    assert finding("mayfly D", "Baetidae C", "Heptageniidae C") is None


def test_without_a_catch_it_says_nothing():
    assert catch_mixed_levels.run(visit_with(), LIMITS) is None
