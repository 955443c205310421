"""The marks of each slip at their edges: what is proposed, before anything is said of whether it fits."""

import pytest

from service.science.qa.slips import counted, exchanged, nutrients, oxygen, temperature, transparency
from tests.science.qa.slips.planted import row, visit_of

WATER_12, WATER_25 = (row("water_temperature", value, "thermometer-alcohol") for value in (12.0, 25.0))
TUBE_60 = "transparency-tube-60"


def oxygen_row(value, kit=None):
    return row("dissolved_oxygen", value, kit)


def percent_row(value):
    return row("dissolved_oxygen_saturation", value)


def tube(value, kit=TUBE_60):
    return row("transparency", value, kit)


def colonies(value):
    return row("e_coli", value, "e-coli-plate-1ml", "CFU/100 mL")


# Fresh water in balance at sea level holds 10.78 mg/L at 12 degC and 8.26 at 25 degC (Benson & Krause 1984).
@pytest.mark.parametrize(
    ("slip", "readings", "meant"),
    [
        pytest.param(oxygen.PERCENT_ON_METER, [oxygen_row(21.0), WATER_12], 2.3, id="over 20"),
        pytest.param(oxygen.PERCENT_ON_METER, [oxygen_row(20.0), WATER_12], None, id="186 %"),
        pytest.param(oxygen.PERCENT_ON_METER, [oxygen_row(17.0), WATER_25], 1.4, id="206 %"),
        pytest.param(oxygen.PERCENT_ON_METER, [oxygen_row(90.0)], None, id="without a temperature"),
        pytest.param(
            oxygen.PERCENT_ON_METER, [oxygen_row(90.0, "oxygen-titrator"), WATER_12], None, id="titrator"
        ),
        pytest.param(
            oxygen.PERCENT_WORKED_OUT, [oxygen_row(90.0, "oxygen-drop-count"), WATER_12], None, id="drops"
        ),
        pytest.param(oxygen.MG_PER_L_IN_PERCENT, [percent_row(19.9), WATER_12], 185, id="under 20 percent"),
        pytest.param(oxygen.MG_PER_L_IN_PERCENT, [percent_row(20.0), WATER_12], None, id="20 percent"),
        pytest.param(
            oxygen.MG_PER_L_IN_PERCENT,
            [percent_row(9.2), oxygen_row(9.4), WATER_12],
            85,
            id="the same in both",
        ),
        pytest.param(
            oxygen.MG_PER_L_IN_PERCENT,
            [percent_row(9.2), oxygen_row(4.0), WATER_12],
            None,
            id="mg/L of its own",
        ),
        # 9.7 mg/L are 90 %: 81 and 99 are within 10 points of it, 78 and 102 are not
        pytest.param(
            oxygen.OXYGEN_BOXES, [oxygen_row(81.0), percent_row(9.7), WATER_12], 9.7, id="9 points off"
        ),
        pytest.param(
            oxygen.OXYGEN_BOXES, [oxygen_row(78.0), percent_row(9.7), WATER_12], None, id="12 points off"
        ),
        # 3.3 in both boxes: 31 % exchanged or not, so nothing is proved
        pytest.param(
            oxygen.OXYGEN_BOXES, [oxygen_row(25.0), percent_row(2.9), WATER_12], 2.9, id="far apart"
        ),
        pytest.param(oxygen.OXYGEN_BOXES, [oxygen_row(4.0), percent_row(0.5), WATER_12], 0.5, id="37 points"),
        pytest.param(
            oxygen.OXYGEN_BOXES, [oxygen_row(3.0), percent_row(0.5), WATER_12], None, id="27 points"
        ),
        pytest.param(counted.DROPS, [oxygen_row(18.0, "oxygen-titrator"), WATER_12], None, id="no drops"),
        pytest.param(
            counted.DROPS, [row("alkalinity", 6.0, "alkalinity-titrator")], None, id="no drops of alkalinity"
        ),
        pytest.param(
            counted.DROPS, [row("alkalinity", 6.5, "alkalinity-drop-count")], None, id="half a drop"
        ),
        pytest.param(
            counted.DROPS, [row("alkalinity", 30.0, "alkalinity-drop-count")], None, id="beyond the kit"
        ),
        pytest.param(counted.COLONIES, [colonies(150.0)], 15000, id="150 colonies"),
        pytest.param(counted.COLONIES, [colonies(151.0)], None, id="151 colonies"),
        pytest.param(transparency.INCHES, [tube(24.0)], 60, id="24 inches are a full tube of 60 cm"),
        pytest.param(transparency.INCHES, [tube(25.0)], None, id="25 inches are longer than the tube"),
        pytest.param(transparency.INCHES, [tube(20.0)], 51, id="20 inches"),
        pytest.param(transparency.INCHES, [tube(20.0, None)], 51, id="20 inches of any tube"),
        pytest.param(transparency.MILLIMETRES, [tube(130.0, None)], None, id="130 may be a tube"),
        pytest.param(transparency.MILLIMETRES, [tube(131.0, None)], 13.1, id="131 cm are no tube"),
        pytest.param(
            nutrients.NITRATE_AS_NO3, [row("nitrate", 4.0, "nitrate-zinc-comparator")], None, id="a kit as N"
        ),
        pytest.param(temperature.AIR_AND_WATER, [WATER_12], None, id="no air"),
        pytest.param(exchanged.PH_AND_TEMPERATURE, [row("ph", 12.0), WATER_12], None, id="the same number"),
        pytest.param(exchanged.PH_AND_TEMPERATURE, [row("ph", 7.0)], None, id="nothing to exchange it with"),
    ],
)
def test_the_marks_of_a_slip(slip, readings, meant):
    visit = visit_of(*readings)
    proposal = slip.propose(visit.readings[0], visit)
    assert (None if proposal is None else proposal.meant.value) == (
        None if meant is None else pytest.approx(meant)
    )


@pytest.mark.parametrize(
    ("slip", "readings", "needs_season"),
    [
        pytest.param(transparency.INCHES, [tube(24.0)], True, id="24 cm are a good reading too"),
        pytest.param(transparency.INCHES, [tube(23.6)], False, id="nobody reads 23.6 cm"),
        pytest.param(nutrients.NITRATE_AS_NO3, [row("nitrate", 4.0)], True, id="nitrate without a kit"),
        pytest.param(
            nutrients.NITRATE_AS_NO3, [row("nitrate", 20.0, "nitrate-tablet-comparator", "mg/L as N")], False,
            id="the kit says NO3",
        ),
        pytest.param(exchanged.PH_AND_TEMPERATURE, [row("ph", 14.5), WATER_12], False, id="no pH"),
        pytest.param(exchanged.PH_AND_TEMPERATURE, [row("ph", 13.5), WATER_12], True, id="lye"),
        pytest.param(
            exchanged.PH_AND_TEMPERATURE, [row("ph", 11.0, "ph-comparator-wide"), WATER_12], False,
            id="pH beyond its card",
        ),
        pytest.param(
            exchanged.PH_AND_OXYGEN, [row("ph", 7.3, "ph-comparator-wide"), oxygen_row(9.0)], True,
            id="pH between two colours",
        ),
    ],
)  # fmt: skip
def test_what_one_visit_alone_can_tell(slip, readings, needs_season):
    visit = visit_of(*readings)
    assert slip.propose(visit.readings[0], visit).needs_season is needs_season
