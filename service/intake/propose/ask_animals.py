"""The animals of a sheet: a row for each kind, or a column for each, and which names are known."""

from typing import Any

from service.intake.mapping.readers.catch import LETTERS, MARKS
from service.intake.mapping.readers.taxa import remark_on_name
from service.intake.mapping.written.words import plain_word
from service.intake.propose.draft import Draft, SeenColumn
from service.intake.propose.facts import NUMBERS
from service.intake.propose.head_words import Certainty
from service.intake.propose.schemas import Choice, TaxaAnswer, TaxonWord
from service.reference.load import load_catalogue
from service.reference.taxon_name import Matched, lineage
from service.visits.schemas import Gear, LifeStage

FEWEST_COLUMNS = 2
MOST_OTHERS = 100
MOST_LETTERS = 10
KNOWN_SHARE = 0.3
EFFORT = ("minutes", "area_m2", "sorted_share")
NO_COUNTS = (
    "There are names of animals, but no column of counts. Does a row only say that the animal was found, "
    "and not how "
    "many? If a column holds the counts, put its name at /catch/count instead."
)


def ask_animals(draft: Draft) -> TaxaAnswer | None:
    """Put the animals into the mapping, if the sheet has any, and tell which names are not known."""
    column = _column_of_names(draft)
    across = [one for one in draft.columns if one.means == "animal"]
    if column is not None:
        return _rows(draft, column)
    return _columns(draft, across) if len(across) >= FEWEST_COLUMNS else None


def _column_of_names(draft: Draft) -> SeenColumn | None:
    found = [(_share_known(column), column) for column in draft.that_mean("taxon")]
    best = max(found, key=lambda one: one[0], default=(0.0, None))
    named = best[1] is not None and best[1].certainty is Certainty.SURE and bool(draft.that_mean("count"))
    return best[1] if best[0] >= KNOWN_SHARE or named else None


def _share_known(column: SeenColumn) -> float:
    words = list(column.facts.words)[:MOST_OTHERS]
    return sum(not remark_on_name(word) for word in words) / len(words) if words else 0.0


def _rows(draft: Draft, column: SeenColumn) -> TaxaAnswer:
    catch: dict[str, Any] = {"taxon": column.take()}
    _counts(draft, column, catch)
    stages = draft.that_mean("life_stage")
    if stages and {plain_word(word) for word in stages[0].facts.words} <= {
        stage.value for stage in LifeStage
    }:
        catch["life_stage"] = {"column": stages[0].take()}
    elif stages:
        words: dict[str, str | None] = {
            word: (plain_word(word) if plain_word(word) in set(LifeStage) else None)
            for word in sorted(stages[0].facts.words)
        }
        catch["life_stage"] = {"column": stages[0].take()}
        draft.ask(
            "/catch/life_stage/values",
            stages[0],
            f"Which stage does each word mean? Known are {', '.join(LifeStage)}.",
            fill_in=words,
        )
    _how_caught(draft, catch)
    return _taxa(dict(column.facts.words))


def _counts(draft: Draft, names: SeenColumn, catch: dict[str, Any]) -> None:
    counts = [one for one in draft.that_mean("count") if one.facts.share(*NUMBERS) > 0.5]
    letters = [one for one in draft.that_mean("count") if len(one.facts.words) <= MOST_LETTERS]
    if counts:
        catch["count"] = counts[0].take()
    elif letters:
        catch["count"] = letters[0].take()
        _marks(draft, letters[:1], catch)
    else:
        _ask_for_counts(draft, names)


def _ask_for_counts(draft: Draft, names: SeenColumn) -> None:
    may_count = [
        one for one in draft.columns if not one.means and one.facts.whole and one.facts.share(*NUMBERS) > 0.5
    ]
    if may_count:
        choices = [Choice(value=one.ref, text=one.label) for one in may_count]
        draft.ask("/catch/count", names, "Which column says how many of each animal there were?", choices)
        return
    found = Choice(value=True, text="yes, only what was found")
    draft.ask("/catch/found_only", names, NO_COUNTS, [found, Choice(value=None, text="no")])


def _marks(draft: Draft, columns: list[SeenColumn], catch: dict[str, Any]) -> None:
    """Say what marks or letters stand for, or ask: x is a find, R, C and D say how many."""
    words = {plain_word(word): word for column in columns for word in column.facts.words}
    if words.keys() <= MARKS.keys():
        catch["found_only"] = True
        return
    catch["letters"] = True
    if not words.keys() <= {letter.casefold() for letter in LETTERS}:
        told = "What do these words mean: R (1-9), C (10-99) or D (100 or more)?"
        fill_in: dict[str, str | None] = dict.fromkeys(sorted(words.values()))
        draft.ask("/catch/letter_words", columns[0], told, fill_in=fill_in)


def _columns(draft: Draft, across: list[SeenColumn]) -> TaxaAnswer:
    catalogue = load_catalogue()
    lines = [_line(one) for one in across]
    catch: dict[str, Any] = {"columns": lines}
    if all(one.facts.share(*NUMBERS) < 0.5 for one in across):
        _marks(draft, across, catch)
    doubtful = _between(draft, across)
    _how_caught(draft, catch)
    if doubtful:
        both = sorted([*across, *doubtful], key=lambda one: one.place)
        told = "Are these animals too? " + "; ".join(
            f"{_name(one)} {remark_on_name(_name(one))}" for one in doubtful
        )
        choices = [
            Choice(value=[_line(one) for one in both], text="yes, take them by their names"),
            Choice(value=lines, text="no, leave them out"),
        ]
        draft.ask("/catch/columns", doubtful[0], told, choices)
    found = [catalogue.resolve_taxon(one.name) for one in across]
    ranks = [lineage(one.taxon, catalogue.taxa) for one in found if isinstance(one, Matched)]
    shared = next((name for name in ranks[0] if all(name in line for line in ranks)), None)
    if shared is not None:
        told = f"All animals known in this sheet are {shared}. Were only these counted? Scores need to know."
        choices = [
            Choice(value=[shared], text=f"yes, only {shared}"),
            Choice(value=None, text="no, all animals were counted"),
        ]
        draft.ask("/catch/counted_only", None, told, choices)
    return _taxa({_name(one): one.facts.filled for one in (*across, *doubtful)})


def _name(column: SeenColumn) -> str:
    return column.name.replace("_", " ").strip()


def _line(column: SeenColumn) -> dict[str, Any]:
    return {"column": column.take(), "taxon": _name(column)}


def _between(draft: Draft, across: list[SeenColumn]) -> list[SeenColumn]:
    """Return columns of whole numbers that stand among those of animals, with heads that nobody knows."""
    first, last = across[0].place, across[-1].place
    return [
        column
        for column in draft.columns
        if first < column.place < last
        and not column.means
        and column.name.strip()
        and column.facts.whole
        and column.facts.share(*NUMBERS) > 0.5
    ]


def _how_caught(draft: Draft, catch: dict[str, Any]) -> None:
    for name in EFFORT:
        for column in draft.that_mean(name)[:1]:
            catch[name] = {"column": column.take()}
    draft.mapping["catch"] = catch
    choices = [Choice(value={"value": gear.value}, text=gear.value) for gear in Gear]
    told = "What were the animals caught with? The sheet does not say, or in words that are not known here."
    draft.ask("/catch/gear", None, told, [*choices, Choice(value=None, text="not known")], needed=False)


def _taxa(names: dict[str, int]) -> TaxaAnswer:
    others = [
        TaxonWord(name=name, rows=rows, told=told)
        for name, rows in sorted(names.items())
        if (told := remark_on_name(name))
    ]
    return TaxaAnswer(names=len(names), known=len(names) - len(others), others=others[:MOST_OTHERS])
