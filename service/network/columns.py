"""The columns of the lists of visits, readings and scores."""

from service.core.formats.table import Column, Kind, Table
from service.sites.columns import PLACE_COLUMNS

TEXT, WHOLE, NUMBER, DATE = Kind.TEXT, Kind.WHOLE, Kind.NUMBER, Kind.DATE
OF_THE_READING, OF_THE_SCORE = "see column unit", "as its index says"
FLAGS = "1 pass, 2 not evaluated, 3 suspect, 4 fail, 9 missing (primary flags of QARTOD)"

VISIT_COLUMNS = (
    Column("visit_id", TEXT, "Id of the visit; never changes."),
    Column("revision", WHOLE, "How often the visit was handed in; the newest counts."),
    Column("state", TEXT, "Whether it is released, or held until somebody has looked at it."),
    Column("kind", TEXT, "routine, or a field-replicate or field-blank that tests the kits."),
    Column("site", TEXT, "Code of the site."),
    Column("school", TEXT, "Code of the school."),
    *PLACE_COLUMNS,
    Column("observed_on", DATE, "Local date of the visit, in its time zone."),
)
VISITS = Table(
    name="visits",
    title="Visits",
    text="One row a visit. What was read and how it scored stands in readings and scores, by visit_id.",
    columns=(
        *VISIT_COLUMNS,
        Column("flag", WHOLE, f"Worst flag of the visit: {FLAGS}."),
        Column("readings", WHOLE, "How many readings it has."),
        Column("scores", WHOLE, "How many scores it has."),
    ),
    key=("visit_id",),
)
READINGS = Table(
    name="readings",
    title="Readings",
    text="One row a reading. A censored one is only known to lie beyond its value.",
    columns=(
        *VISIT_COLUMNS,
        Column("position", WHOLE, "Place of the reading within its visit, from 0."),
        Column("parameter", TEXT, "What was measured, as in /v1/catalogue/parameters."),
        Column("replicate", WHOLE, "Which of several readings of the same, from 1."),
        Column("value", NUMBER, "Value that counts; empty where it is missing.", OF_THE_READING, True),
        Column("unit", TEXT, "Unit of value, low and high."),
        Column(
            "censored", TEXT, "< or >: the truth lies below or above value; else empty.", may_be_empty=True
        ),
        Column("low", NUMBER, "The truth is not below this; empty: open.", OF_THE_READING, True),
        Column("high", NUMBER, "The truth is not above this; empty: open.", OF_THE_READING, True),
        Column("kit", TEXT, "Kit it was measured with; empty where nobody noted it.", may_be_empty=True),
        Column("flag", WHOLE, f"Flag of the reading: {FLAGS}."),
    ),
    key=("visit_id", "position"),
)
SCORES = Table(
    name="scores",
    title="Scores",
    text="One row a score, with its doubt.",
    columns=(
        *VISIT_COLUMNS,
        Column("index", TEXT, "Scoring method, as in /v1/catalogue/indices."),
        Column("definition", WHOLE, "Number of the method's definition."),
        Column("value", NUMBER, "Score; empty where there is too little to score.", OF_THE_SCORE, True),
        Column("band", TEXT, "Class that the score falls in, in words.", may_be_empty=True),
        Column("standing", TEXT, "How far it may be trusted: rated, provisional, too_few, empty or missing."),
        Column("low", NUMBER, "Lower end of its interval; empty: not known.", OF_THE_SCORE, True),
        Column("high", NUMBER, "Upper end of its interval; empty: not known.", OF_THE_SCORE, True),
        Column("bands", TEXT, "Chance of each band, 0 to 1, as a JSON object."),
        Column(
            "reasons", TEXT, "What it rests on or lacks, in words, parted by semicolons.", may_be_empty=True
        ),
        Column("inputs", TEXT, "What it was made from, parted by semicolons."),
        Column("reference_version", TEXT, "Version of the reference data that it was made with."),
    ),
    key=("visit_id", "index", "definition"),
)
