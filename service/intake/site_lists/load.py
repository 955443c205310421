"""Read the mapping of a list of sites, and hold it to what was asked."""

from service.core.errors import BadQuery
from service.intake.mapping.load_mapping import load_as
from service.intake.site_lists.mapping import SiteListMapping


def site_list_mapping(text: str) -> SiteListMapping:
    """Return a mapping that was written as JSON or TOML.

    Raises
    ------
    Invalid
        It is neither, or breaks the rules of a mapping.
    """
    return load_as(SiteListMapping, text, "json" if text.lstrip().startswith("{") else "toml")


def require_one_school(school: str | None, mapping: SiteListMapping) -> None:
    """Refuse a list of which two say whose sites they are, or nobody.

    Raises
    ------
    BadQuery
        It is so.
    """
    if (school is None) == (mapping.school is None):
        raise BadQuery("school: name the school here or in the mapping, one of the two")
