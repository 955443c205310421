"""The fields of a gauging and of two bottles of oxygen, which only some visits have: name and label."""

from collections.abc import Sequence

Named = Sequence[tuple[str, str]]
FIRST_VERTICALS, MORE_VERTICALS = 4, 6
BED = ("g-bottom", "Bed of the stream")
WAY: Named = (("g-length_m", "Way of the floats (m)"),)
TIMES: Named = tuple((f"g-time-{number}", f"Float {number + 1} (s)") for number in range(5))
TRANSECTS: Sequence[Named] = tuple(
    (
        (f"g-t{number}-width_m", "Width (m)"),
        (f"g-t{number}-depth-0", "Depth at ¼ (m)"),
        (f"g-t{number}-depth-1", "Depth at ½ (m)"),
        (f"g-t{number}-depth-2", "Depth at ¾ (m)"),
    )
    for number in range(2)
)
BOTTLES: Named = (
    ("b-first_mg_per_l", "Oxygen of the bottle opened at once (mg/L)"),
    ("b-last_mg_per_l", "Oxygen of the bottle opened later (mg/L)"),
    ("b-hours", "Hours between the two"),
    ("b-temperature_c", "Temperature they were kept at (°C)"),
    ("b-sample_share", "Part of the bottle that was stream water (1: all of it)"),
)


def vertical(row: int) -> Named:
    """Return the fields of one place across the stream."""
    return (
        (f"g-v{row}-distance_m", "Distance (m)"),
        (f"g-v{row}-depth_m", "Depth (m)"),
        (f"g-v{row}-velocity_m_per_s", "Speed (m/s)"),
    )


def flow_titles(verticals: int) -> dict[str, str]:
    """Return what each of these fields is called, for so many rows of verticals."""
    named = dict([BED, *WAY, *TIMES, *BOTTLES])
    for number, transect in enumerate(TRANSECTS, 1):
        named |= {name: f"Section {number}, {label}" for name, label in transect}
    for row in range(verticals):
        named |= {name: f"Place {row + 1}, {label}" for name, label in vertical(row)}
    return named
