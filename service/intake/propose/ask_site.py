"""Which column names the site, and which of the school's sites its words are."""

from service.intake.mapping.cell_problem import Refused
from service.intake.mapping.sites import Places, SiteFinder
from service.intake.mapping.written.words import NearWords
from service.intake.propose.draft import Draft, SeenColumn
from service.intake.propose.schemas import Choice, SiteWord

MOST_CHOICES = 50
MOST_WORDS = 2_000  # that a mapping may hold


def ask_site(draft: Draft) -> list[SiteWord]:
    """Put the site's column into the mapping, ask for words that are no site, and return its words."""
    found = draft.that_mean("site", "site_name")
    if not found:
        codes = [
            Choice(value={"value": code}, text=f"{code}: {name}") for code, (name, _) in draft.places.items()
        ]
        told = "No column names the site. Which site is it in all rows?"
        draft.ask(
            "/site",
            None,
            told,
            codes[:MOST_CHOICES],
            write='{"value": code of the site} or {"column": its column}',
        )
        return []
    known = [site_words(column, draft.places) for column in found]
    hits = [sum(word.site is not None for word in words) for words in known]
    best = hits.index(max(hits))
    column, words = found[best], known[best]
    draft.mapping["site"] = {"column": column.take()}
    if len(found) > 1:
        names = ", ".join(one.label for one in found)
        others = [Choice(value={"column": one.ref}, text=one.label) for one in found]
        draft.ask(
            "/site", column, f"Several columns may name the site: {names}. Which one?", others, needed=False
        )
    unknown = [word for word in words if word.site is None]
    if unknown:
        told = (
            f"{len(unknown)} of the {len(words)} words of this column are no site of the school, neither by "
            "code nor by name"
        )
        if len(words) == 1:
            told = f'"{unknown[0].word}" is no site of the school, neither by code nor by name'
        told += ". Which site is each? Add a site first if it is not there yet."
        draft.ask("/site/values", column, told, fill_in={word.word: word.site for word in words[:MOST_WORDS]})
    return words


def site_words(column: SeenColumn, places: Places) -> list[SiteWord]:
    """Return the words of a column with the sites that they are."""
    finder = SiteFinder(places)
    near = NearWords([*places, *(name for name, _ in places.values())])
    found = []
    for word, rows in sorted(column.facts.words.items()):
        try:
            found.append(SiteWord(word=word, rows=rows, site=finder.find(word), near=""))
        except Refused:
            meant = near.did_you_mean(word).removeprefix("; did you mean ").removesuffix("?")
            found.append(SiteWord(word=word, rows=rows, site=None, near=meant))
    return found
