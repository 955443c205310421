from service.science.scores.reading_doubt import drawing
from tests.science.kits import OXYGEN_DROPS, THERMOMETER, read


def test_a_reading_is_drawn_once_so_that_all_that_follows_from_it_agrees():
    drawn = drawing(7)
    oxygen = read("dissolved_oxygen", 8.0, kit=OXYGEN_DROPS)
    water = read("water_temperature", 20.0, kit=THERMOMETER, position=1)
    first = drawn(oxygen).copy()
    assert (drawn(water) != first).all()
    assert (drawn(oxygen) == first).all()


def test_draws_fill_the_interval_of_the_kit_evenly():
    draws = drawing(7)(read("dissolved_oxygen", 8.0, kit=OXYGEN_DROPS))  # 7.75 to 8.25
    assert 7.75 <= draws.min() < 7.76
    assert 8.24 < draws.max() <= 8.25
    # four standard deviations of a uniform mean of 1000 draws (half width 0.25) are 0.018
    assert abs(draws.mean() - 8.0) < 0.018
