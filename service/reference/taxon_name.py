"""From the name a class wrote to a row of the taxa table, never finer than what was written."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches

from service.reference.entries import ListedTaxon, TaxonName

STAGES: Mapping[str, str] = {
    word: stage
    for stage, words in {
        "larva": "larva larvae larval",
        "nymph": "nymph nymphs",
        "pupa": "pupa pupae",
        "adult": "adult adults",
    }.items()
    for word in words.split()
}
DOUBT = frozenset(
    {"unidentified", "unknown", "unid", "undetermined", "undet", "indet", "cf", "immature", "juvenile"}
)
OPEN_SPECIES = frozenset({"sp", "spp", "species", "aff", "nr", "gr", "group", "complex"})
NO_PART_OF_NAME = DOUBT | OPEN_SPECIES | frozenset(STAGES.values())
OWN_NAME = "taxon"
FOR_DAILY_USE = "student"  # such a name counts only when it is written whole
MOST_SUGGESTIONS = 3
LIKENESS = 0.75  # below this the near misses of difflib are no help to a reader


@dataclass(frozen=True, slots=True)
class Matched:
    """The name stands for one taxon. ``life_stage`` is the stage the name itself gives ("beetle larva").

    ``question`` is what to ask the class when a closer answer would change the scores, else empty.
    """

    taxon: ListedTaxon
    life_stage: str | None = None
    question: str = ""


@dataclass(frozen=True, slots=True)
class Ambiguous:
    """The name may stand for any of the candidates; ``question`` tells them apart."""

    candidates: tuple[ListedTaxon, ...]
    question: str = ""


@dataclass(frozen=True, slots=True)
class Unknown:
    """The name is not in the tables. ``suggestions`` are up to three names written almost like it."""

    suggestions: tuple[str, ...] = ()


Resolution = Matched | Ambiguous | Unknown
Taxa = Mapping[str, ListedTaxon]
Names = Mapping[str, TaxonName]


def plain(written_name: str) -> str:
    """Return a name in the form that is compared: lower case, words parted by one space, slashes kept."""
    parted = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", written_name)
    without_remark = re.sub(r"\(.*?\)", " ", parted.casefold())
    return " ".join(re.sub(r"[^\w/]+|_", " ", without_remark).split())


def all_names(taxa: Taxa, others: Iterable[TaxonName]) -> dict[str, TaxonName]:
    """Return every known name by its plain form: each taxon under its own name, and the other names."""
    own = (TaxonName(taxon, taxon, (), OWN_NAME, "", "taxa.csv", "own") for taxon in taxa)
    return {plain(entry.name): entry for entry in (*own, *others)}


def resolve(written_name: str, taxa: Taxa, names: Names) -> Resolution:
    """Return the taxon that a written name stands for, the candidates it may stand for, or near misses.

    Parameters
    ----------
    written_name : what the class wrote; the caller keeps it
    taxa : the taxa table by taxon
    names : all names, as :func:`all_names` gives them

    Returns
    -------
    Resolution
        A species goes to its own row if it has one, else to its genus, else to the family of its genus. Of
        names joined by a slash or "or" the nearest row that holds them all is taken; without one they are
        ambiguous.
    """
    parts = [part.strip() for part in re.split(r"/|\bor\b", plain(written_name)) if part.strip()]
    if not parts:
        return Unknown()
    genus, *species = parts[0].split()
    found: list[Matched | Ambiguous] = []
    for part in parts:
        answer = _one(part, taxa, names)
        if answer is None and species:
            answer = _one(f"{genus} {part}", taxa, names)  # the second species of a genus
        if answer is None:
            alike = get_close_matches(part, names, MOST_SUGGESTIONS, LIKENESS)
            return Unknown(tuple(names[form].name for form in alike))
        found.append(answer)
    return found[0] if len(found) == 1 else _joined(found, taxa)


def lineage(taxon: ListedTaxon, taxa: Taxa) -> tuple[str, ...]:
    """Return the rows that hold a taxon, from itself to the coarsest."""
    names = [taxon.name]
    while (above := taxa[names[-1]].rolls_up_to) is not None:
        names.append(above)
    return tuple(names)


def _one(part: str, taxa: Taxa, names: Names) -> Matched | Ambiguous | None:
    words = part.split()
    if words[0] in STAGES:
        words = [*words[1:], words[0]]
    stage = STAGES.get(words[-1])
    if stage is not None:
        words[-1] = stage
    entry = _entry(words, names)
    if entry is None:
        return None
    if entry.taxon is None:
        return Ambiguous(tuple(taxa[candidate] for candidate in entry.candidates), entry.question)
    return Matched(taxa[entry.taxon], stage, entry.question)


def _entry(words: Sequence[str], names: Names) -> TaxonName | None:
    """Try the whole name, then the name without stage and doubt, then ever shorter scientific names."""
    core = list(words)
    while len(core) > 1 and core[0] in DOUBT:
        core.pop(0)
    end = next((place for place, word in enumerate(core) if place and word in NO_PART_OF_NAME), len(core))
    core = core[:end]
    for name in (" ".join(words), " ".join(core)):
        for form in _with_singulars(name):
            if form in names:
                return names[form]
    for length in (2, 1):
        entry = names.get(" ".join(core[:length]))
        if entry is not None and len(core) > length and entry.kind_of_name != FOR_DAILY_USE:
            return entry
    return None


def _with_singulars(name: str) -> Iterator[str]:
    """Yield a plain name and then what it may be the plural of."""
    yield name
    for ending, singular in (("ies", "y"), ("es", ""), ("s", "")):
        if name.endswith(ending):
            yield name.removesuffix(ending) + singular


def _joined(found: Sequence[Matched | Ambiguous], taxa: Taxa) -> Matched | Ambiguous:
    """Return the nearest row that holds every part, or all candidates."""
    candidates: dict[str, ListedTaxon] = {}
    for answer in found:
        possible = answer.candidates if isinstance(answer, Ambiguous) else (answer.taxon,)
        candidates.update((taxon.name, taxon) for taxon in possible)
    matched = [answer for answer in found if isinstance(answer, Matched)]
    if len(matched) == len(found):
        lines = [lineage(taxon, taxa) for taxon in candidates.values()]
        shared = next((name for name in lines[0] if all(name in line for line in lines)), None)
        if shared is not None:
            stages = {answer.life_stage for answer in matched}
            return Matched(taxa[shared], stages.pop() if len(stages) == 1 else None)
    return Ambiguous(tuple(candidates.values()))
