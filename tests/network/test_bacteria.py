"""E. coli of a site over time: means with their mark, shares above, and every 30 days beside the criteria."""

from datetime import date, timedelta
from typing import Any

import pytest
from scipy import stats

from tests.api import Api, Json, reading, visit

TRAY, PLATE = "e-coli-tray", "e-coli-plate-1ml"


def hand_in(api: Api, text: str, first: str = "2025-06-02", days: int = 7, **more: Any) -> None:
    """Hand in counts such as ``<100 240 >2419.6``, some days apart."""
    for place, one in enumerate(text.split()):
        on = date.fromisoformat(first) + timedelta(days=days * place)
        censored = one[0] if one[0] in "<>" else None
        count = reading("e_coli", float(one.strip("<>")), "MPN/100 mL", censored=censored, **more)
        answer = api.submit(visit(observed_at=f"{on}T10:00:00-04:00", readings=[count]))
        assert answer["state"] == "released", answer


def bacteria(api: Api, query: str = "") -> Json:
    answer = api.get(f"/v1/sites/reed-02/bacteria{query}")
    assert answer.status_code == 200, answer.text
    return dict(answer.json())


def beside_126(window: Json) -> tuple[str, str, str]:
    (found,) = [row for row in window["statements"] if row["illnesses_per_1000"] == 36]
    assert (found["geometric_mean_at_most"], found["threshold"]) == (126.0, 410.0)
    return found["geometric_mean"], found["share_above"], found["together"]


MEETS, DOES_NOT_MEET, CANNOT_TELL = "meets the value", "does not meet the value", "cannot tell"


def test_the_mean_of_numbers_is_exact(api: Api) -> None:
    hand_in(api, "52 110 340 20 201")
    found = bacteria(api)
    assert found["unit"] == "MPN/100 mL"
    mean = found["whole"]["geometric_mean"]
    assert mean["value"] == pytest.approx(stats.gmean([52, 110, 340, 20, 201]), abs=1e-4)
    assert (mean["mark"], mean["text"]) == ("exact", "95.2 per 100 mL")
    assert (mean["low"], mean["high"]) == (mean["value"], mean["value"])


def test_limits_on_both_sides_are_shown_with_the_fitted_mean(api: Api) -> None:
    hand_in(api, "<1 12 45 88 130 260 410 >2419.6", days=3)
    whole = bacteria(api)["whole"]
    # computed outside this project: limits as values, and lognormal maximum likelihood
    assert whole["geometric_mean"]["value"] == pytest.approx(79.485895, abs=1e-4)
    assert (whole["geometric_mean"]["mark"], whole["geometric_mean"]["high"]) == (None, None)
    assert whole["geometric_mean"]["low"] == 0.0
    assert whole["model"]["value"] == pytest.approx(81.11417, abs=0.01)
    assert (whole["model"]["log_mean"], whole["model"]["log_sd"]) == pytest.approx((4.3959, 2.8665))
    assert [(row["above"], row["at_least"], row["at_most"]) for row in whole["shares"]] == [
        (410.0, 1, 1),
        (320.0, 2, 2),
    ]


@pytest.mark.parametrize(
    ("text", "mark", "words"),
    [(">2419.6 20 45", ">=", "at least "), ("<20 40 45", "<=", "at most ")],
)
def test_a_mean_with_a_limit_in_it_carries_its_mark(api: Api, text: str, mark: str, words: str) -> None:
    hand_in(api, text)
    mean = bacteria(api)["whole"]["geometric_mean"]
    assert mean["mark"] == mark
    assert mean["text"].startswith(words)


def test_a_limit_above_the_threshold_leaves_the_share_open(api: Api) -> None:
    hand_in(api, "<500 20 86 90")
    share = bacteria(api)["whole"]["shares"][0]
    assert (share["at_least"], share["at_most"], share["percent_at_most"]) == (0, 1, 25.0)
    assert share["text"] == "at least 0 and at most 1 of 4 samples above 410 per 100 mL"


def test_thirty_days_end_on_each_date_with_a_sample(api: Api) -> None:
    hand_in(api, "20 30 40", days=20)
    found = bacteria(api)["windows"]
    # counted on the calendar
    assert [(row["from_date"], row["to_date"], row["samples"]) for row in found] == [
        ("2025-05-04", "2025-06-02", 1),
        ("2025-05-24", "2025-06-22", 2),
        ("2025-06-13", "2025-07-12", 2),
    ]
    assert found[1]["geometric_mean"]["value"] == pytest.approx(stats.gmean([20, 30]), abs=1e-4)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # US EPA 820-F-12-058: mean not above 126, not more than a tenth above 410, by hand
        ("100 120 126 126 126", (MEETS, MEETS, MEETS)),
        ("130 140 150 160 170", (DOES_NOT_MEET, MEETS, DOES_NOT_MEET)),
        ("10 20 30 40 411", (MEETS, DOES_NOT_MEET, DOES_NOT_MEET)),
        ("10 20 30 40 <500", (MEETS, CANNOT_TELL, CANNOT_TELL)),
        ("10 20 30 >100 40", (CANNOT_TELL, CANNOT_TELL, CANNOT_TELL)),
    ],
)
def test_five_samples_in_thirty_days_say_something(
    api: Api, text: str, expected: tuple[str, str, str]
) -> None:
    hand_in(api, text)
    last = bacteria(api)["windows"][-1]
    assert last["samples"] == 5
    assert beside_126(last) == expected


def test_four_samples_say_nothing_whatever_they_read(api: Api) -> None:
    hand_in(api, "900 1200 1500 2000")
    last = bacteria(api)["windows"][-1]
    assert beside_126(last) == (CANNOT_TELL, CANNOT_TELL, CANNOT_TELL)
    assert last["statements"][0]["text"] == "4 samples in 30 days, 5 wanted: nothing can be told."


def test_plates_whose_steps_reach_across_the_value_cannot_tell(api: Api) -> None:
    # 100 on a plate of 1 mL is one colony, 50 to 150
    hand_in(api, "100 100 100 200 100", kit=PLATE)
    found = bacteria(api)
    mean = found["whole"]["geometric_mean"]
    assert (mean["low"], mean["high"]) == pytest.approx(
        (stats.gmean([50, 50, 50, 150, 50]), stats.gmean([150, 150, 150, 250, 150])), abs=1e-4
    )
    assert beside_126(found["windows"][-1]) == (CANNOT_TELL, MEETS, CANNOT_TELL)


def test_no_colony_on_a_plate_is_less_than_its_first_mark(api: Api) -> None:
    hand_in(api, "0 300", kit=PLATE)
    mean = bacteria(api)["whole"]["geometric_mean"]
    assert (mean["value"], mean["mark"]) == (pytest.approx(stats.gmean([100, 300]), abs=1e-4), "<=")


def test_a_zero_of_an_unknown_kit_is_in_no_mean_and_leaves_it_open(api: Api) -> None:
    hand_in(api, "0 20 30 40 50")
    found = bacteria(api)
    assert found["whole"]["samples"] == 5
    assert found["whole"]["geometric_mean"]["value"] == pytest.approx(stats.gmean([20, 30, 40, 50]), abs=1e-4)
    assert beside_126(found["windows"][-1]) == (CANNOT_TELL, CANNOT_TELL, CANNOT_TELL)
    assert any("1 sample of 0 without a kit" in reason for reason in found["reasons"])


def test_several_readings_of_a_visit_are_one_sample(api: Api) -> None:
    pair = [reading("e_coli", count, "MPN/100 mL", replicate=n) for n, count in enumerate((30.0, 50.0), 1)]
    api.submit(visit(readings=pair))
    found = bacteria(api)
    assert (found["whole"]["samples"], found["whole"]["geometric_mean"]["value"]) == (1, pytest.approx(40.0))
    assert found["reasons"] == ["several readings of one visit count as one sample, their median: 1 visit"]


def test_the_doubt_of_several_plates_is_that_of_their_median(api: Api) -> None:
    # one colony is 50 to 150 and three are 250 to 350: half way between them lie 150 to 250
    pair = [
        reading("e_coli", count, "CFU/100 mL", replicate=n, kit=PLATE)
        for n, count in enumerate((100.0, 300.0), 1)
    ]
    api.submit(visit(readings=pair))
    mean = bacteria(api)["whole"]["geometric_mean"]
    assert (mean["value"], mean["low"], mean["high"]) == pytest.approx((200.0, 150.0, 250.0))


def test_the_windows_are_counted_by_what_they_say(api: Api) -> None:
    hand_in(api, "130 140 150 160 170 20 20 20 20 20", days=7)
    found = {row["illnesses_per_1000"]: row for row in bacteria(api)["in_short"]}
    # by hand: means of the six windows of five samples 149, 103, 70, 47, 31, 20
    assert (found[36]["meet"], found[36]["do_not_meet"], found[36]["cannot_tell"]) == (5, 1, 0)
    assert (found[32]["meet"], found[32]["do_not_meet"], found[32]["too_few_samples"]) == (4, 2, 4)
    text = bacteria(api)["text"]
    assert "of 6 windows of 30 days with 5 samples or more 5 meet the values, 1 do not and 0 cannot" in text


def test_nobody_is_told_that_a_law_was_kept_or_broken(api: Api) -> None:
    hand_in(api, "130 140 150 160 170")
    text = api.get("/v1/sites/reed-02/bacteria").text.lower()
    assert not any(word in text for word in ("violat", "compl", "illegal", "safe"))
    assert "ask the health office" in text


def test_dates_bound_the_samples(api: Api) -> None:
    hand_in(api, "20 30 40", days=20)
    found = bacteria(api, "?from=2025-06-10&to=2025-06-30")
    assert (found["whole"]["samples"], found["whole"]["from_date"]) == (1, "2025-06-10")
    # the 30 days that end on 22 June begin on 24 May, before the first date asked for
    assert [(row["from_date"], row["samples"]) for row in found["windows"]] == [("2025-05-24", 2)]


def test_the_first_window_reaches_back_thirty_days_and_no_further(api: Api) -> None:
    hand_in(api, "20 30", days=29)
    (window,) = bacteria(api, "?from=2025-07-01")["windows"]
    assert (window["from_date"], window["to_date"], window["samples"]) == ("2025-06-02", "2025-07-01", 2)


def test_a_held_visit_counts_for_nobody(api: Api) -> None:
    held = [reading("e_coli", 40.0, "MPN/100 mL"), reading("turbidity", 99_999, "NTU")]
    assert api.submit(visit(readings=held))["state"] == "held"
    assert api.get("/v1/sites/reed-02/bacteria", "coordinator").json()["whole"] is None


def test_the_first_day_there_is_can_be_asked_for(api: Api) -> None:
    hand_in(api, "20")
    assert bacteria(api, "?from=0001-01-01")["whole"]["samples"] == 1


def test_without_samples_nothing_is_said(api: Api) -> None:
    api.submit(visit())
    found = bacteria(api)
    assert (found["whole"], found["windows"]) == (None, [])
    assert found["text"] == "No released E. coli sample of these dates."


@pytest.mark.parametrize(
    ("address", "status"),
    [("/v1/sites/nowhere/bacteria", 404), ("/v1/sites/reed-02/bacteria?days=30", 400)],
)
def test_what_is_not_there_and_what_is_not_understood(api: Api, address: str, status: int) -> None:
    assert api.get(address).status_code == status
