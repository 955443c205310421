"""Columns beside the readings that say which of them are only limits."""

from service.intake.mapping.written.words import plain_word
from service.intake.propose.by_content import signs_of
from service.intake.propose.draft import Draft, SeenColumn
from service.intake.propose.schemas import Choice


def ask_signs_beside(draft: Draft, column: SeenColumn, about: str) -> None:
    """Ask whether a column of signs on either side says which readings are only limits."""
    for beside in draft.columns[max(column.place - 1, 0) : column.place + 2]:
        signs = signs_of(beside.facts)
        if beside.place != column.place and signs:
            ask_signs(draft, column, beside, signs, about)
            return


def ask_signs(
    draft: Draft, column: SeenColumn, beside: SeenColumn, signs: dict[str, str], about: str
) -> None:
    """Ask what the words of a column of signs mean for the readings of another."""
    meant = {"<": "below", ">": "above", "": "as read"}
    words = ", ".join(f'"{word}" {meant[sign]}' for word, sign in sorted(signs.items()) if word)
    draft.ask(
        about,
        column,
        f"Does {beside.label} say which readings are only limits: {words}?",
        [
            Choice(value={"column": beside.ref, "values": signs}, text="yes"),
            Choice(value=None, text="no, it is something else"),
        ],
    )


def ask_flag_of_ceiling(draft: Draft, column: SeenColumn, about: str) -> None:
    """Ask whether a flag says which of many equal readings are only limits."""
    for flag in draft.that_mean("censored"):
        true = [word for word in flag.facts.words if plain_word(word) in ("true", "yes", "y", "1")]
        if not true:
            continue
        values = {word: ">" if word in true else "" for word in sorted(flag.facts.words)}
        value = {"column": flag.ref, "values": values}
        told = (
            f"Does {flag.label} say which of these values are only limits? {flag.facts.words[true[0]]} rows "
            f"say {true[0]}."
        )
        draft.ask(
            about,
            column,
            told,
            [
                Choice(value=value, text=f"{true[0]} means: above the value"),
                Choice(value=None, text="no, it is something else"),
            ],
            needed=False,
        )
