"""What is to be said of the name of an animal. The name is kept as sent; near misses are never taken."""

from functools import lru_cache

from service.reference.load import load_catalogue
from service.reference.taxon_name import Ambiguous, Unknown


@lru_cache(maxsize=10_000)
def remark_on_name(name: str) -> str:
    """Return what to tell of a name that stands for no taxon, or for more than one; else nothing."""
    found = load_catalogue().resolve_taxon(name)
    if isinstance(found, Unknown):
        near = f"; did you mean {' or '.join(found.suggestions)}?" if found.suggestions else "."
        return f"is no animal of the list{near} It is kept as written and counts in no score"
    if isinstance(found, Ambiguous):
        meant = " or ".join(taxon.name for taxon in found.candidates)
        asked = f" {found.question}" if found.question else ""
        return f"may stand for {meant}.{asked} It is kept as written and counts in no score"
    return ""
