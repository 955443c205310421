"""Invented catches for the tests of the checks, with names looked up in the real list as the service does."""

from dataclasses import replace

from service.reference.taxon_name import Matched
from service.science.catch import Catch, CountScheme, Tally
from service.science.types import Reading, Visit
from tests.science.qa.limits import CATALOGUE
from tests.science.qa.visits import visit_with


def line(text: str) -> Tally:
    """One line of a catch, written "mayfly 38", "riffle beetle/adult 4" or, with a letter, "mayfly C"."""
    written, amount = text.rsplit(" ", 1)
    name, _, stage = written.partition("/")
    found = CATALOGUE.resolve_taxon(name)
    matched = found if isinstance(found, Matched) else None
    count = int(amount) if amount.isdigit() else None
    return Tally(
        written_name=name,
        taxon=matched.taxon if matched else None,
        count=count,
        abundance=amount if count is None else None,
        life_stage=stage or (matched.life_stage if matched else None),
    )


def visit_catching(*texts: str, readings: tuple[Reading, ...] = ()) -> Visit:
    """A visit with these lines in its net; all counts, or all letters."""
    tallies = tuple(map(line, texts))
    has_letters = any(tally.abundance is not None for tally in tallies)
    scheme = CountScheme.RCD_1_10_100 if has_letters else CountScheme.COUNTS
    return replace(visit_with(*readings), catch=Catch(scheme, tallies))
