"""The tree of watersheds: every level with the sites and released visits that lie inside."""

from tests.api import Api, reading, visit


def test_each_level_counts_the_sites_and_released_visits_inside(api: Api) -> None:
    for hour in (8, 9):
        api.submit(visit("reed-02", f"2026-03-12T{hour:02}:00:00-05:00"))
    api.submit(visit("fern-01"), "otter")
    api.submit(visit("reed-02", "2026-03-12T12:00:00-05:00", readings=[reading("ph", 15)]))  # held
    api.submit(visit("reed-02", "2026-03-12T13:00:00-05:00", kind="field-replicate"))
    rows = {row["code"]: (row["sites"], row["visits"]) for row in api.every("/v1/watersheds")}
    reed = ("0207", "020700", "02070010", "0207001001", "020700100103")
    fern = ("0208", "020801", "02080102", "0208010203", "020801020304")
    assert rows == {"02": (3, 3)} | dict.fromkeys(reed, (2, 2)) | dict.fromkeys(fern, (1, 1))
    for key in ("heron", "coordinator"):
        assert {
            row["code"]: (row["sites"], row["visits"]) for row in api.every("/v1/watersheds", key)
        } == rows


def test_a_part_of_the_tree_has_the_same_counts(api: Api) -> None:
    api.submit(visit("reed-02"))
    api.post("/v1/watersheds", {"scheme": "huc", "code": "02070011", "name": "Dry Run"})
    whole = api.every("/v1/watersheds")
    part = api.every("/v1/watersheds?watershed=0207")
    assert part == [row for row in whole if row["code"].startswith("0207")]
    assert {"02070011": (0, 0)}.items() <= {
        row["code"]: (row["sites"], row["visits"]) for row in part
    }.items()
