"""From a body that was handed in to the plain values that science works on."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from service.core.errors import FieldError, Invalid
from service.reference.catalogue import Catalogue
from service.science import types as science
from service.science.catch import Catch
from service.science.kit_reading import interpret
from service.sites.tables import SchoolKitLot, Site
from service.visits.net_sample import handed_in_catch
from service.visits.schemas import CatchBody, ReadingBody, VisitBody


@dataclass(frozen=True, slots=True)
class Interpreted:
    """A body in the terms of science. ``readings`` leaves out those that were not measured."""

    observed_at: datetime
    readings: tuple[science.Reading, ...]
    replicates: tuple[int, ...]
    catch: Catch | None
    content_hash: str
    catch_hash: str | None


def seed_of(text: str) -> int:
    """Return the number that belongs to a text, for everything drawn at random."""
    return int(hashlib.sha256(text.encode()).hexdigest()[:15], 16)


def seed_of_visit(site: str, on: date) -> int:
    """Return the number that everything drawn at random for a visit begins with, by its local date.

    What is drawn shows in public numbers, so nothing private may stand behind it: an hour or a code of a team
    could be guessed, and the guess be tried.
    """
    return seed_of(f"{site} {on}")


def content_hash(body: VisitBody) -> str:
    """Return what tells one content from another, whichever id it travels under.

    A field that is left out counts as its default, so that a field added later changes no hash.
    """
    content = body.model_dump(mode="json", exclude={"visit_id"}, exclude_defaults=True)
    return hashlib.sha256(json.dumps(content, sort_keys=True).encode()).hexdigest()


def catch_hash(body: CatchBody | None) -> str | None:
    """Return what tells one catch from another; ``None`` without animals, which are alike without a slip."""
    if body is None or not body.counts:
        return None
    written = (line.model_dump(mode="json", exclude_defaults=True) for line in body.counts)
    lines = sorted(json.dumps(line, sort_keys=True) for line in written)
    return hashlib.sha256("\n".join(lines).encode()).hexdigest()


def interpret_body(
    body: VisitBody,
    site: Site,
    kits: Mapping[str, science.Kit],
    lots: Mapping[str, SchoolKitLot],
    catalogue: Catalogue,
) -> Interpreted:
    """Return the visit in the terms of science.

    Raises
    ------
    Invalid
        Readings name kits or boxes that do not exist or that are for something else; all are named.
    """
    _require_kits(body, kits, lots, catalogue)
    replicates = _number_replicates(body.readings)
    readings = tuple(
        interpret(
            position,
            catalogue.parameters[reading.parameter],
            kits[reading.kit] if reading.kit else None,
            reading.value,
            reading.unit,
            censored=reading.censored,
            procedure=reading.procedure.model_dump(exclude_none=True),
            replicate=replicates[position],
            lot=_lot(lots[reading.kit_lot]) if reading.kit_lot else None,
        )
        for position, reading in enumerate(body.readings)
        if reading.value is not None
    )
    return Interpreted(
        observed_at=body.observed_at.astimezone(ZoneInfo(site.time_zone)),
        readings=readings,
        replicates=replicates,
        catch=handed_in_catch(body.catch, catalogue) if body.catch else None,
        content_hash=content_hash(body),
        catch_hash=catch_hash(body.catch),
    )


def _lot(row: SchoolKitLot) -> science.KitLot:
    return science.KitLot(row.code, row.expires_on, row.blank_failed_on)


def _require_kits(
    body: VisitBody,
    kits: Mapping[str, science.Kit],
    lots: Mapping[str, SchoolKitLot],
    catalogue: Catalogue,
) -> None:
    errors = []
    for position, reading in enumerate(body.readings):
        if reading.kit is None:
            continue
        kit = kits.get(reading.kit)
        if kit is None:
            fitting = ", ".join(fit.code for fit in catalogue.kits_for(reading.parameter))
            told = f"there is no kit {reading.kit}; for this parameter there are {fitting or 'none yet'}"
            errors.append(FieldError(f"/readings/{position}/kit", told))
        elif kit.parameter != reading.parameter:
            measured = catalogue.parameters[kit.parameter].name
            told = f"{kit.code} measures {measured}; name the kit that gave this reading, or none"
            errors.append(FieldError(f"/readings/{position}/kit", told))
        lot = lots.get(reading.kit_lot or "")
        if reading.kit_lot is not None and (lot is None or lot.kit != reading.kit):
            told = f"this school has no box {reading.kit_lot} of {reading.kit}; enter it at /v1/kit-lots"
            errors.append(FieldError(f"/readings/{position}/kit_lot", told))
    if errors:
        raise Invalid(errors)


def _number_replicates(readings: list[ReadingBody]) -> tuple[int, ...]:
    """Give each reading that has no replicate number the next free one of its parameter."""
    taken = {(reading.parameter, reading.replicate) for reading in readings if reading.replicate}
    numbers = []
    for reading in readings:
        number = reading.replicate or 1
        while reading.replicate is None and (reading.parameter, number) in taken:
            number += 1
        taken.add((reading.parameter, number))
        numbers.append(number)
    return tuple(numbers)
