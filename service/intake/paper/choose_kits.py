"""Which kits a sheet or form is made for: those that were asked for, else those the school goes with."""

from collections.abc import Sequence

from sqlmodel import Session

from service.core.errors import NotFound
from service.intake.field_order import Kind, Sheet, fields
from service.intake.paper.queries import kits_in_use
from service.reference.load import load_catalogue
from service.science.types import Kit
from service.sites.keep_kit import find_kits

MOST_KITS = 40


def kits_for(session: Session, site: str, asked: str | None) -> tuple[Kit, ...]:
    """Return the kits in the order of the work.

    Parameters
    ----------
    session : Session
    site : code of the site
    asked : codes of kits parted by commas; ``None``: those last used at the site, one for each parameter, and
        where nothing was measured there yet one in common use for each usual reading

    Raises
    ------
    NotFound
        There is no such kit.
    """
    codes = _codes(asked)
    if codes:
        found = find_kits(session, codes)
        for code in codes:
            if code not in found:
                raise NotFound(f"There is no kit {code}; see /v1/catalogue/kits and /v1/kits.")
    else:
        found = find_kits(session, _in_use(session, site)) or _in_common_use()
    return _in_order(list(found.values()))


def _codes(asked: str | None) -> list[str]:
    codes = [code for code in dict.fromkeys((asked or "").split(",")) if code]
    return codes[:MOST_KITS]


def _in_use(session: Session, site: str) -> list[str]:
    newest: dict[str, str] = {}
    for parameter, kit in kits_in_use(session, site):
        newest.setdefault(parameter, kit)
    return list(newest.values())


def _in_common_use() -> dict[str, Kit]:
    catalogue = load_catalogue()
    usual = [one.field for one in fields(Sheet.VISITS) if one.kind is Kind.READING and one.usual]
    first = (next(iter(catalogue.kits_for(parameter)), None) for parameter in usual)
    return {kit.code: kit for kit in first if kit is not None}


def _in_order(kits: Sequence[Kit]) -> tuple[Kit, ...]:
    order = [one.field for one in fields(Sheet.VISITS) if one.kind is Kind.READING]
    return tuple(sorted(kits, key=lambda kit: order.index(kit.parameter)))
