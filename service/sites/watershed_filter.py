"""The `watershed` filter of every list, read once and alike."""

from fastapi import Request

from service.core.errors import BadQuery
from service.core.settings import Settings
from service.science.watershed_code import WatershedCode, read_code


def watershed_asked(request: Request, text: str | None) -> WatershedCode | None:
    """Return the watershed that a filter names, in the network's own scheme where it names none.

    Raises
    ------
    BadQuery
        The code is not legal in its scheme.
    """
    if text is None:
        return None
    settings: Settings = request.app.state.settings
    scheme, _, code = text.rpartition(":")
    try:
        return read_code(scheme or settings.watershed_scheme, code)
    except ValueError as error:
        raise BadQuery(f"watershed: {error}") from None
