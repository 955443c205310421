"""What else a sheet may say of a visit: team, kind, weather, remarks, and what tells visits apart."""

from service.intake.mapping.written.words import plain_word
from service.intake.propose.cell_kinds import Look
from service.intake.propose.draft import Draft, SeenColumn
from service.intake.propose.head_words import Certainty
from service.intake.propose.schemas import Choice
from service.science.types import VisitKind
from service.visits.schemas import Flow, Ice, Weather

KIND_WORDS: dict[str, str] = {
    "d": VisitKind.FIELD_REPLICATE, "dup": VisitKind.FIELD_REPLICATE, "duplicate": VisitKind.FIELD_REPLICATE,
    "field duplicate": VisitKind.FIELD_REPLICATE, "replicate": VisitKind.FIELD_REPLICATE,
    "blank": VisitKind.FIELD_BLANK, "field blank": VisitKind.FIELD_BLANK, "normal sample": VisitKind.ROUTINE,
    "normal": VisitKind.ROUTINE, "sample": VisitKind.ROUTINE, "n": VisitKind.ROUTINE,
}  # fmt: skip
SKY_WORDS: dict[str, str] = {
    "sunny": Weather.CLEAR, "sun": Weather.CLEAR, "fair": Weather.CLEAR, "cloudy": Weather.OVERCAST,
    "partly cloudy": Weather.PARTLY_CLOUDY, "partly sunny": Weather.PARTLY_CLOUDY, "rainy": Weather.RAIN,
    "foggy": Weather.FOG, "snowy": Weather.SNOW,
}  # fmt: skip
LISTS: dict[str, tuple[str, dict[str, str], tuple[str, ...]]] = {
    "weather": ("/conditions/weather", {str(one): str(one) for one in Weather} | SKY_WORDS, tuple(Weather)),
    "flow_word": ("/conditions/flow", {str(one): str(one) for one in Flow}, tuple(Flow)),
    "ice": ("/conditions/ice", {str(one): str(one) for one in Ice}, tuple(Ice)),
    "kind": ("/kind", {str(one): str(one) for one in VisitKind} | KIND_WORDS, tuple(VisitKind)),
}
MOST_WORDS = 40
MOST_NOTES = 10


def ask_rest(draft: Draft) -> None:
    """Propose what the sheet says beside readings and animals; all of it may be left out."""
    _ask_team(draft)
    for means, (place, known, listed) in LISTS.items():
        for column in draft.that_mean(means)[:1]:
            _ask_words(draft, column, place, known, listed)
    _ask_air(draft)
    _ask_notes(draft)
    _ask_apart(draft)
    _ask_carried_down(draft)


def _ask_team(draft: Draft) -> None:
    for column in draft.that_mean("team")[:1]:
        told = "Is this a code of the group, and no name of a child? Only codes are taken."
        choices = [
            Choice(value={"column": column.ref}, text="a code: take it"),
            Choice(value=None, text="leave it out"),
        ]
        draft.ask("/team", column, told, choices, needed=False)


def _ask_words(
    draft: Draft, column: SeenColumn, place: str, known: dict[str, str], listed: tuple[str, ...]
) -> None:
    words = sorted(column.facts.words)
    if len(words) > MOST_WORDS:
        return
    values = {word: (str(found) if (found := known.get(plain_word(word))) else None) for word in words}
    value = {"column": column.ref, "values": values, "refuse_others": False}
    open_ones = [word for word, meant in values.items() if meant is None]
    told = f"May this column be taken? Its words stand for {', '.join(listed)}."
    if open_ones:
        told += f" Not known here: {', '.join(open_ones[:12])}; as it stands they mean nothing."
    draft.ask(
        place,
        column,
        told,
        [Choice(value=value, text="take it so"), Choice(value=None, text="leave it out")],
        needed=False,
    )


def _ask_air(draft: Draft) -> None:
    for column in draft.that_mean("air_temperature")[:1]:
        choices = [
            Choice(
                value={"air_temperature": {"column": column.ref}, "air_temperature_unit": unit},
                text=f"in {unit}",
            )
            for unit in ("degC", "degF")
        ]
        if "f" in column.name.casefold().replace("°", " ").replace("(", " ").replace(")", " ").split():
            choices.reverse()
        told = "The temperature of the air: in which unit? The likelier is named first."
        draft.ask(
            "/conditions", column, told, [*choices, Choice(value=None, text="leave it out")], needed=False
        )


def _ask_notes(draft: Draft) -> None:
    found = draft.that_mean("notes")[:MOST_NOTES]
    if found:
        names = ", ".join(column.label for column in found)
        value = [{"column": column.ref, "word": (column.name.strip() or "note")[:120]} for column in found]
        told = (
            f"May {names} go into the private notes of the visit? School and coordinator read them; look "
            "that no names "
            "of children are in them."
        )
        draft.ask(
            "/notes",
            found[0],
            told,
            [Choice(value=value, text="yes"), Choice(value=[], text="no")],
            needed=False,
        )


def _ask_apart(draft: Draft) -> None:
    """Ask what tells visits apart where a site and moment come with more than one sample."""
    named = [
        column
        for column in draft.columns
        if column.means in ("site", "site_name", "date", "time") and column.used
    ]
    moments = {_texts(row.cells, named) for row in draft.rows}
    candidates = [
        column
        for column in draft.columns
        if column.means in ("apart", "some_depth") and column.certainty is not Certainty.UNKNOWN
    ]
    more = []
    for column in candidates:
        visits = len({_texts(row.cells, [*named, column]) for row in draft.rows})
        if visits > len(moments):
            more.append((column, visits))
    if not more:
        return
    told = (
        f"Site, date and time alone make {len(moments)} visits of {len(draft.rows)} rows. Are some of "
        "these several "
        "samples, to be kept as visits of their own?"
    )
    choices = [Choice(value=[], text=f"no: {len(moments)} visits, what is read twice is numbered")]
    choices += [
        Choice(value=[column.ref], text=f"yes, told apart by {column.label}: {visits} visits")
        for column, visits in more
    ]
    draft.ask("/apart", more[0][0], told, choices, needed=False)


def _ask_carried_down(draft: Draft) -> None:
    """Ask whether an empty cell means the one above it: site and date are often written once for several."""
    named = [one for one in draft.columns if one.used and one.means in ("site", "site_name", "date", "time")]
    gaps = [one for one in named if one.means != "time" and one.facts.looks[Look.EMPTY]]
    rows = [row for row in draft.rows if "" in _texts(row.cells, gaps)]
    if not rows:
        return
    empty = [one for one in named if all(_texts(row.cells, [one]) == ("",) for row in rows)]
    told = (
        f"{len(rows)} rows name no {' or no '.join(one.name for one in gaps)}, the first is row "
        f"{rows[0].number}. Does an empty cell mean the same as the cell above it? Else they are refused."
    )
    choices = [Choice(value=[one.ref for one in empty or gaps], text="yes"), Choice(value=[], text="no")]
    draft.ask("/carried_down", gaps[0], told, choices, needed=False)


def _texts(cells: tuple[object, ...], columns: list[SeenColumn]) -> tuple[str, ...]:
    return tuple(getattr(cells[one.place], "text", "") if one.place < len(cells) else "" for one in columns)
