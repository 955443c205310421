"""From what is asked to the sites, kits and readings of a template."""

from sqlmodel import Session

from service.core.errors import BadQuery
from service.intake.template.columns import Choice
from service.intake.template.schemas import TemplateQuery
from service.reference.load import load_catalogue
from service.schools.queries import school_by_code
from service.science.types import Kit
from service.sites.keep_kit import find_kits
from service.sites.queries import kits_after, site_by_code, sites_after

MOST_SITES = 5_000  # a longer list helps nobody to choose
MOST_NETWORK_KITS = 500


def template_choice(session: Session, asked: TemplateQuery) -> Choice:
    """Return what a template is made for.

    Raises
    ------
    BadQuery
        There is no such school, site, kit or parameter.
    """
    return Choice(
        sites=_sites(session, asked),
        kits=_kits(session, _listed(asked.kits)),
        parameters=_parameters(_listed(asked.parameters)),
        counting=asked.counting,
        network_kits=tuple(
            find_kits(session, [kit.code for kit in kits_after(session, "", MOST_NETWORK_KITS)]).values()
        ),
    )


def _listed(codes: str | None) -> list[str]:
    return [code for code in dict.fromkeys((codes or "").split(",")) if code]


def _sites(session: Session, asked: TemplateQuery) -> list[tuple[str, str]]:
    if asked.school is not None and school_by_code(session, asked.school) is None:
        raise BadQuery(f"school: there is no school {asked.school}")
    if asked.site is not None:
        site = site_by_code(session, asked.site)
        if site is None or asked.school not in (None, site.school):
            of_it = f" of {asked.school}" if asked.school else ""
            raise BadQuery(f"site: there is no site {asked.site}{of_it}")
        return [(site.code, site.name)]
    return [(site.code, site.name) for site in sites_after(session, "", MOST_SITES, school=asked.school)]


def _kits(session: Session, codes: list[str]) -> list[Kit]:
    found = find_kits(session, codes)
    for code in codes:
        if code not in found:
            raise BadQuery(f"kits: there is no kit {code}; see /v1/catalogue/kits and /v1/kits")
    return [found[code] for code in codes]


def _parameters(codes: list[str]) -> list[str]:
    known = load_catalogue().parameters
    for code in codes:
        if code not in known:
            raise BadQuery(f"parameters: there is no parameter {code}; known are {', '.join(known)}")
    return codes
