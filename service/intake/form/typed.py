"""What was typed into the form, as it came: names and texts, with limits."""

from collections.abc import Mapping
from urllib.parse import parse_qsl

from service.core.errors import BadQuery

MEDIA_TYPE = "application/x-www-form-urlencoded"
MOST_FIELDS = 1_000
KEY = "key"  # of the school; it is read once and stands in no page and in no log


def read_typed(body: bytes, content_type: str) -> dict[str, str]:
    """Return the fields of a form that was sent, without blanks around them.

    Raises
    ------
    BadQuery
        It is no form, is no text, has too many fields or one of them twice.
    """
    if content_type.partition(";")[0].strip().lower() != MEDIA_TYPE:
        raise BadQuery(f"This address takes what a form sends: {MEDIA_TYPE}.")
    try:
        pairs = parse_qsl(
            body.decode("ascii"), keep_blank_values=True, errors="strict", max_num_fields=MOST_FIELDS
        )
    except ValueError:
        raise BadQuery("What was sent is no form that can be read; open the form anew.") from None
    typed = dict(pairs)
    if len(typed) < len(pairs):
        raise BadQuery("A field of the form came twice; open the form anew.")
    return {name: text.strip() for name, text in typed.items()}


def without_key(typed: Mapping[str, str]) -> dict[str, str]:
    """Return what may stand in the page again."""
    return {name: text for name, text in typed.items() if name != KEY}
