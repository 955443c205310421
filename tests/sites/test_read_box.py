"""The `bbox` parameter: four numbers or six, across the antimeridian, and counted round the world."""

import pytest

from service.core.errors import BadQuery
from service.sites.box import Box, read_box


# OGC 17-069r4, section 7.15.3: order of the numbers, six of them with heights, west greater than east.
@pytest.mark.parametrize(
    ("text", "box"),
    [
        ("-76,40,-75,41", Box(-76, 40, -75, 41)),
        ("-76, 40.5, -75, 41", Box(-76, 40.5, -75, 41)),
        ("-76,40,-100,-75,41,9000", Box(-76, 40, -75, 41)),
        ("177,-20,-178,-16", Box(177, -20, -178, -16)),
        ("177,-20,182,-16", Box(177, -20, -178, -16)),
        ("-436,40,-435,41", Box(-76, 40, -75, 41)),
        ("-200,-95,200,95", Box(-180, -90, 180, 90)),
        ("-180,-90,180,90", Box(-180, -90, 180, 90)),
        ("-75,40,-75,40", Box(-75, 40, -75, 40)),
    ],
)
def test_it_is_read_as_a_box_on_the_globe(text: str, box: Box) -> None:
    assert read_box(text) == box


@pytest.mark.parametrize(
    "text",
    ["", "1,2,3", "1,2,3,4,5", "1,2,3,4,5,6,7", "a,b,c,d", "1,2,nan,4", "1,2,inf,4", "-76,41,-75,40",
     "-76,40,9000,-75,41,-100"],
)  # fmt: skip
def test_anything_else_is_refused_with_what_to_write(text: str) -> None:
    with pytest.raises(BadQuery) as refused:
        read_box(text)
    assert refused.value.message.startswith("bbox: ")
