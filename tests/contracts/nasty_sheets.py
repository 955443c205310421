"""Mappings of sheets that together have every field filled: a column each, and a reading a row."""

SAME_READING = {
    "censored": {"column": "Sign", "values": {"below": "<"}}, "limit": {"value": 0.5}, "replicate": "Times",
    "procedure": {"tablets": "Tablets"},
}  # fmt: skip
SHEET = {
    "about": "our sheet",
    "file": {
        "sheet": "Data", "head_row": 1, "encoding": "utf-8", "separator": "comma", "decimal": ".",
        "thousands": " ", "missing": ["nd"], "not_detected": ["bdl"],
    },
    "site": {"column": "Site", "values": {"Reed": "reed-02"}, "refuse_others": True},
    "when": {
        "date": "Date", "order": "ymd", "century": 2000, "bare_date": "yyyymmdd", "time": "Time",
        "days": {"Trip 1": "2026-03-12"}, "bare_clock": True, "midnight_is_a_time": True, "zone": "site",
        "written_offset_is_wrong": False,
    },
    "team": {"value": "team-a"},
    "kind": {"value": "routine"},
    "apart": ["Trip"],
    "carried_down": ["Site"],
    "only": [
        {"column": "Use", "words": ["yes"], "but_not": ["no"], "at_least": 0, "at_most": 9, "why": "not ours"}
    ],
    "conditions": {"air_temperature": {"column": "Air", "times": 1}, "air_temperature_unit": "degC"},
    "notes": [{"column": "Remarks", "word": "class"}],
}  # fmt: skip
SHEETS = [
    SHEET
    | {
        "readings": [
            {"column": "pH", "parameter": "ph", "unit": "std units", "times": 1, "kit": "ph-meter"}
            | SAME_READING
        ],
        "catch": {"taxon": "Animal", "count": "Number", "letters": True, "letter_words": {"few": "R"}},
    },
    SHEET
    | {
        "site": {"value": "reed-02"},
        "when": {"date": "Date", "assumed_time": "10:00", "zone": "site", "fold": "first"},
        "long": {"parameter": "What", "value": "Value", "unit": "Unit", "left_out": ["smell"]}
        | {"kinds": {"pH|std units": {"parameter": "ph"}}}
        | SAME_READING,
        "catch": {"columns": [{"column": "Mayfly", "taxon": "mayfly", "life_stage": "larva"}]}
        | {"counted_only": ["mayfly"], "minutes": {"value": 3}},
    },
    SHEET
    | {
        "readings": [
            {"column": "Nitrate", "parameter": "nitrate"}
            | {"unit_column": {"column": "Unit", "values": {"mg": "mg/L as N"}}}
        ],
    },
]
