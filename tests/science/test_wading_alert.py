"""The caution where a flow was measured in water too deep or too fast for a class."""

from dataclasses import replace

import pytest

from service.science.alerts import COME_OUT, LOCAL_RULE, raise_alerts
from service.science.gauging import Bottom, FloatGauging, Transect, Vertical, VerticalGauging
from tests.science.qa.limits import CATALOGUE
from tests.science.qa.visits import visit_with

BANKS = (Vertical(0.0, 0.0, 0.0), Vertical(9.0, 0.0, 0.0))


def alerts(gauging):
    return raise_alerts(replace(visit_with(), gauging=gauging), CATALOGUE.alert_limits)


def across(*places):
    wet = (Vertical(1.0 + n, depth_m, speed) for n, (depth_m, speed) in enumerate(places))
    return VerticalGauging((BANKS[0], *wet, BANKS[1]))


@pytest.mark.parametrize(
    ("places", "is_alert"),
    [
        # 0.4 m2/s and 0.5 m for children: Australian Rainfall and Runoff, Project 10, 2010 (from memory)
        ([(0.4, 1.0)], False),
        ([(0.4, 1.01)], True),
        ([(0.4, -1.01)], True),  # an eddy pushes as well
        ([(0.5, 0.1)], False),
        ([(0.51, 0.0)], True),
        ([(0.1, 0.2), (0.45, 0.9), (0.2, 0.3)], True),
        ([(0.1, 0.9), (0.45, 0.1)], False),  # deep in one place and fast in another
    ],
)
def test_deep_or_fast_at_one_vertical(places, is_alert):
    assert [alert.kind for alert in alerts(across(*places))] == (["deep-fast-water"] if is_alert else [])


@pytest.mark.parametrize(
    ("depth_m", "time_s", "is_alert"), [(0.4, 6.0, False), (0.4, 5.9, True), (0.51, 60, True)]
)
def test_deep_or_fast_by_floats(depth_m, time_s, is_alert):
    # 6 m in 6 s is 1 m/s
    floats = FloatGauging(6.0, (time_s,) * 3, Bottom.ROCKY, (Transect(3.0, (0.1, depth_m, 0.1)),))
    assert bool(alerts(floats)) is is_alert


def test_the_caution_names_the_numbers_and_leaves_the_last_word_to_local_rules():
    (alert,) = alerts(across((0.6, 0.8), (0.7, 0.1)))
    assert alert.message == (
        "The flow was measured where water of 0.6 m ran at 0.8 m/s: depth times speed is 0.48 m²/s, and "
        "above 0.4 m²/s a class stays out. "
        "The flow was measured where the water was 0.7 m deep: above 0.5 m a class stays out."
    )
    assert alert.cautions == (COME_OUT, LOCAL_RULE)
    assert "The rules of your school" in LOCAL_RULE
