from statistics import mean, median

import pytest

from service.science import precision
from tests.science.check_table import numbers, rows
from tests.science.kits import (
    NITRATE_CARD,
    OXYGEN_METER,
    OXYGEN_TABLETS,
    OXYGEN_TITRATOR,
    TUBE_60,
    read,
)

DUPLICATES = [(float(row["first"]), float(row["second"])) for row in rows("precision_duplicates")]
SPLIT = precision.split_sample_bias(numbers("precision_split_samples"))
BLANKS = precision.blank_figures([0, 0, 0.02, 0.01, 0, 0.03, 0, 0.01])
RPDS = [precision.rpd(*pair) for pair in DUPLICATES]
FIGURES = {
    "duplicates_mean_rpd_percent": mean(RPDS),
    "duplicates_median_rpd_percent": median(RPDS),
    "duplicates_pooled_sd": precision.pooled_sd(DUPLICATES),
    "duplicates_repeatability_limit": precision.repeatability_limit(precision.pooled_sd(DUPLICATES)),
    "duplicates_pooled_relative_sd_percent": precision.pooled_relative_sd(DUPLICATES),
    "split_mean": SPLIT.mean,
    "split_sd": SPLIT.sd,
    "split_lower_limit": SPLIT.lower_limit,
    "split_upper_limit": SPLIT.upper_limit,
    "split_median": SPLIT.median,
    "split_hodges_lehmann": SPLIT.hodges_lehmann,
    "split_mean_relative_percent": SPLIT.mean_relative_percent,
    "blanks_mean": BLANKS.mean,
    "blanks_sd": BLANKS.sd,
    "blanks_detection": BLANKS.detection,
    "completeness_31_of_36": precision.completeness(31, 36),
    "completeness_26_of_36": precision.completeness(26, 36),
}


@pytest.mark.parametrize(("first", "second", "expected", "tolerance"), numbers("precision_duplicates"))
def test_relative_percent_difference(first, second, expected, tolerance):
    assert precision.rpd(first, second) == pytest.approx(expected, abs=tolerance)
    assert precision.rpd(second, first) == precision.rpd(first, second)


@pytest.mark.parametrize("row", rows("precision_figures"), ids=lambda row: row["figure"])
def test_figures(row):
    assert FIGURES[row["figure"]] == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


def test_counts_go_with_the_figures():
    assert (SPLIT.count, BLANKS.count) == (10, 8)


def test_the_pairwise_means_include_each_difference_itself():
    # by hand: differences 0, 1, 5 give the means 0, 0.5, 1, 2.5, 3, 5
    assert precision.split_sample_bias([(1, 1), (1, 2), (1, 6)]).hodges_lehmann == 1.75


@pytest.mark.parametrize(
    ("first", "second", "expected"),
    [
        # printed beside the rule that percent is useless near the bottom of a kit and on pH; by hand
        (0.5, 1.0, 66.67),
        (7.0, 7.5, 6.90),
        (0.0, 3.0, 200.0),
        (0.0, 0.0, 0.0),
    ],
)
def test_relative_difference_at_the_ends(first, second, expected):
    assert precision.rpd(first, second) == pytest.approx(expected, abs=0.005)


@pytest.mark.parametrize(
    ("kit", "first", "second", "agree"),
    [
        # at most one step or one mark apart: common practice; by hand along the scales
        (OXYGEN_TITRATOR, 8.0, 8.2, True),
        (OXYGEN_TITRATOR, 8.0, 8.4, False),
        (OXYGEN_METER, 0.1, 0.2, True),
        (OXYGEN_METER, 7.0, 7.2, False),
        (NITRATE_CARD, 0.25, 0.5, True),
        (NITRATE_CARD, 4.0, 6.0, True),  # neighbouring marks
        (NITRATE_CARD, 0.25, 1.0, False),
        (OXYGEN_TABLETS, 8.0, 4.0, True),
    ],
)
def test_duplicates_agree_within_a_step(kit, first, second, agree):
    pair = [read(kit.parameter, value, kit=kit, unit=kit.unit) for value in (first, second)]
    assert precision.agree_within_steps(*pair) is agree
    assert precision.agree_within_steps(*reversed(pair)) is agree


def test_more_steps_may_be_allowed():
    first, second = (read("dissolved_oxygen", value, kit=OXYGEN_TITRATOR) for value in (8.0, 8.4))
    assert precision.agree_within_steps(first, second, steps=2)


@pytest.mark.parametrize(
    ("first", "second", "agree"),
    [
        # with a limit among them they agree when the intervals overlap; steps of 1 cm leave 0.5 open
        ((60, ">"), (60, ">"), True),
        ((60, ">"), (40, None), False),
        ((60, ">"), (59.5, None), True),  # up to 60
        ((10, "<"), (5, None), True),
        ((10, "<"), (12, None), False),
    ],
)
def test_limits_agree_when_intervals_overlap(first, second, agree):
    pair = [read("transparency", value, kit=TUBE_60, censored=mark) for value, mark in (first, second)]
    assert precision.agree_within_steps(*pair) is agree
    assert precision.agree_within_steps(*reversed(pair)) is agree


@pytest.mark.parametrize("kit", [None, OXYGEN_METER])
def test_steps_need_one_kit(kit):
    with pytest.raises(ValueError, match="same kit"):
        precision.agree_within_steps(
            read("dissolved_oxygen", 8.0, kit=kit), read("dissolved_oxygen", 8.0, kit=OXYGEN_TITRATOR)
        )


@pytest.mark.parametrize(
    ("figure", "given"),
    [
        (precision.rpd, (-1.0, 2.0)),
        (precision.rpd, (2.0, -1.0)),
        (precision.pooled_sd, ([],)),
        (precision.pooled_relative_sd, ([],)),
        (precision.repeatability_limit, (-0.1,)),
        (precision.split_sample_bias, ([(8.0, 8.0)],)),
        (precision.split_sample_bias, ([(8.0, 8.0), (0.0, 1.0)],)),
        (precision.blank_figures, ([0.1],)),
        (precision.completeness, (0, 0)),
        (precision.completeness, (-1, 5)),
    ],
)
def test_what_has_no_figure_is_refused(figure, given):
    with pytest.raises(ValueError, match=r"needs? |never below 0|are needed"):
        figure(*given)
