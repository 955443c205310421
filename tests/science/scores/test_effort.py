from dataclasses import replace

import pytest

from service.science.scores.effort import reasons_of_effort
from service.science.scores.ept import PERCENT, RICHNESS
from service.science.scores.family_biotic_index import EXTENDED
from service.science.scores.index import Standing
from service.science.scores.streamside_survey import INDEX as STREAMSIDE
from service.science.scores.taxa_richness import INDEX as TAXA_RICHNESS
from tests.science.scores.catches import CLASS_VISIT, kinds_by_letter, lettered
from tests.science.scores.definitions import DEFINITIONS

# That numbers of kinds compare only at equal gear, area and subsample, and that classes of a subsample mean
# something else: EPA Rapid Bioassessment Protocols 1999, sections 7.1 to 7.3, and common practice.
UNKNOWN = "neither gear nor area was noted: this number does not compare with other catches"
PART = "only 25 % of the sample was sorted: compare only with catches sorted like it"
NO_WORD = (
    "only 25 % of the sample was sorted: rare, common and dominant then mean something else, "
    "so no rating word"
)


def score(index, catch):
    return index.score(catch, DEFINITIONS[index.id], 1)


@pytest.mark.parametrize(
    ("how", "reasons"),
    [
        ({}, (UNKNOWN,)),
        ({"gear": "d-net"}, ()),
        ({"area_m2": 1.0}, ()),
        ({"gear": "d-net", "sorted_share": 1.0}, ()),
        ({"gear": "d-net", "sorted_share": 0.25}, (PART,)),
        ({"sorted_share": 0.25}, (UNKNOWN, PART)),
    ],
)
def test_what_is_said_of_the_effort(how, reasons):
    assert reasons_of_effort(replace(CLASS_VISIT, **how)) == reasons


@pytest.mark.parametrize("index", [TAXA_RICHNESS, RICHNESS], ids=lambda index: index.id)
def test_numbers_of_families_say_when_they_do_not_compare(index):
    assert UNKNOWN in score(index, CLASS_VISIT).reasons
    assert UNKNOWN not in score(index, replace(CLASS_VISIT, gear="d-net")).reasons
    assert score(index, CLASS_VISIT).value == score(index, replace(CLASS_VISIT, gear="d-net")).value


LETTERS = lettered(kinds_by_letter({1: "DCCCCCCC"}))


@pytest.mark.parametrize(("whole", "points"), [(CLASS_VISIT, 55.1), (LETTERS, 44.5)])
def test_the_streamside_survey_gives_no_word_to_a_subsample(whole, points):
    part = score(STREAMSIDE, replace(whole, sorted_share=0.25))
    assert (part.value, part.band, part.bands, part.standing) == (points, None, {}, Standing.PROVISIONAL)
    assert NO_WORD in part.reasons
    for share in (None, 1.0):
        found = score(STREAMSIDE, replace(whole, sorted_share=share))
        assert (found.value, found.band, found.standing) == (points, "good", Standing.RATED)


def test_a_subsample_does_not_lift_too_few():
    few = replace(lettered(kinds_by_letter({1: "RRR"})), sorted_share=0.5)
    assert score(STREAMSIDE, few).standing is Standing.TOO_FEW


@pytest.mark.parametrize("index", [PERCENT, EXTENDED], ids=lambda index: index.id)
def test_shares_and_means_take_the_subsample_as_it_is(index):
    assert score(index, replace(CLASS_VISIT, sorted_share=0.25)) == score(index, CLASS_VISIT)
