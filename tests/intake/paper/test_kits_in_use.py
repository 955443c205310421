"""Which kits a sheet is made for where nobody chooses: those that were last used at the site."""

from tests.api import Api, reading, visit


def test_without_a_choice_it_is_the_kits_that_the_school_last_used_at_the_site(api: Api) -> None:
    def ph(day: int, kit: str, **more: object) -> None:
        on = f"2026-03-{day:02}T10:15:00-04:00"
        api.submit(visit(observed_at=on, readings=[reading("ph", 7, kit=kit)], **more))

    ph(9, "ph-comparator-wide")
    ph(10, "ph-tablet-comparator")
    ph(11, "ph-meter", kind="field-replicate")  # no visit for the stream's sake
    told = api.get("/v1/sites/reed-02/sheet.html").text
    assert "pH tablet with colour card" in told
    assert "pH pocket meter" not in told
    assert "comparator, wide range" not in told
    assert "Nitrate" not in told
