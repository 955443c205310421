"""The mapping that reads our own template, made from the head it comes back with.

A workbook has two sheets, ``visits`` and ``catch``, and each is read by a mapping of its own
(:func:`template_mappings`). Rows of both that name the same site, date, time and team have
the same visit key: their parts meet in one visit, so both sheets must be on the shelf before visits are put
together. Row numbers begin anew on each sheet, so a row is told by its sheet and number. A CSV is one sheet
that holds both.

Dates: a workbook's real dates are exact. As text they are read only with the year first; a program that has
rewritten them in the order of its country makes rows that are refused with their reason, never guessed.
"""

from pathlib import Path

from service.intake.field_order import BESIDE, Field, Kind, Sheet, fields
from service.intake.mapping.schemas import (
    CatchMapping,
    Coded,
    ConditionsMapping,
    FileBody,
    Mapping,
    Measured,
    NoteColumn,
    Only,
    Order,
    ReadingColumn,
    WhenBody,
)
from service.intake.sheets.cell import Row, Unreadable
from service.intake.sheets.look import Look, look_into
from service.intake.template.heads import (
    EXAMPLE,
    MARK,
    ReadingHead,
    beside_head,
    is_ours,
    read_reading_head,
)
from service.reference.load import load_catalogue

NOT_READ = (
    f'the example of the template; empty the cell under "{MARK}" if you have written a visit of yours over it'
)
NEEDED = ("site", "date", "time")


def template_mappings(path: Path) -> list[Mapping]:
    """Return the mapping of each sheet of a file that is our template, that of the visits first.

    Raises
    ------
    Unreadable
        The file is not our template, or its head was changed so that it cannot be understood.
    """
    found = [own_mapping_for(look.head, how_to_read(look)) for look in look_into(path) if not look.is_hidden]
    mappings = [mapping for mapping in found if mapping is not None]
    if not mappings:
        raise Unreadable(
            f'This is not the network\'s template, whose first column is "{MARK}". Send a mapping with it, '
            "or let /v1/imports/propose make one."
        )
    return mappings


def how_to_read(look: Look) -> FileBody:
    """Return how a sheet is read that was looked at: as it can be read, the likeliest way."""
    return FileBody(
        sheet=look.sheet or None,
        head_row=look.head.number,
        encoding=look.encodings[0] if look.encodings else "utf-8",
        separator=look.separators[0] if look.separators else None,
    )


def own_mapping_for(head: Row, how: FileBody | None = None) -> Mapping | None:
    """Return the mapping of a sheet that is our template, or ``None``: it is not.

    Parameters
    ----------
    head : the head row
    how : the sheet's name, and how the file is written as far as that is known

    Raises
    ------
    Unreadable
        It is our template, but a column that is needed is gone, or a head cannot be understood.
    """
    names = [" ".join(cell.text.split()) for cell in head.cells]
    if not names or not is_ours(names[0]):
        return None
    there = {name.casefold() for name in names if name}
    missing = [name for name in NEEDED if name not in there]
    if missing:
        raise Unreadable(f'The template\'s column "{missing[0]}" is missing; put it back into the head row.')
    found = _Found(there)
    readings = _readings(names, found)
    catch = _catch(found)
    if not (readings or catch):
        raise Unreadable("The template has no columns of readings and none of animals; fetch a new one.")
    return Mapping(
        about="the network's own template",
        file=(how or FileBody()),
        site=Coded(column="site"),
        when=WhenBody(date="date", order=Order.YEAR_MONTH_DAY, time="time", zone="site"),
        team=found.coded("team"),
        kind=found.coded("kind"),
        only=[Only(column=MARK, but_not=[EXAMPLE], why=NOT_READ)],
        readings=readings,
        catch=catch,
        conditions=ConditionsMapping(
            air_temperature=found.measured("air_temperature"),
            rain_48h_mm=found.measured("rain_48h_mm"),
            weather=found.coded("weather"),
            flow=found.coded("flow"),
            ice=found.coded("ice"),
            dead_fish=found.coded("dead_fish"),
        ),
        notes=[NoteColumn(column="notes", word="notes")] if found.head("notes") else [],
    )


class _Found:
    """The columns of the template that a head has, by the field they hold."""

    def __init__(self, there: set[str]) -> None:
        plain = [
            one
            for sheet in Sheet
            for one in fields(sheet)
            if one.kind is not Kind.READING and one.kind not in BESIDE and one.head.casefold() in there
        ]
        self._heads = {one.field: one.head for one in plain}
        self.there = there

    def head(self, field: str) -> str | None:
        return self._heads.get(field)

    def coded(self, field: str) -> Coded | None:
        head = self.head(field)
        return Coded(column=head) if head else None

    def measured(self, field: str) -> Measured | None:
        head = self.head(field)
        return Measured(column=head) if head else None


def _readings(names: list[str], found: _Found) -> list[ReadingColumn]:
    fixed = {one.head.casefold() for sheet in Sheet for one in fields(sheet) if one.head}
    columns = []
    for place, name in enumerate(names, start=1):
        try:
            meant = None if name.casefold() in fixed else read_reading_head(name, load_catalogue())
        except ValueError as error:
            raise Unreadable(f'Column {place} of the template, "{name}": {error}.') from None
        if meant is not None:
            columns.append(_column(name, meant, found))
    return columns


def _column(name: str, meant: ReadingHead, found: _Found) -> ReadingColumn:
    procedure: dict[str, str] = {}
    if undisturbed := found.head("undisturbed_water"):
        procedure["undisturbed_water"] = undisturbed
    box: dict[str, str] | None = None
    for one in _fields_beside() if meant.kit else ():
        head = beside_head(one, meant.kit or "")
        if head.casefold() not in found.there:
            continue
        if one.kind is Kind.BOX:
            box = {"column": head}
        else:
            procedure[one.field] = head
    return ReadingColumn.model_validate(
        {
            "column": name,
            "parameter": meant.parameter,
            "unit": meant.unit,
            "kit": meant.kit,
            "lot_column": box,
            "procedure": procedure,
        }
    )


def _fields_beside() -> list[Field]:
    return [one for one in fields(Sheet.VISITS) if one.kind in BESIDE]


def _catch(found: _Found) -> CatchMapping | None:
    letters = found.head("letter") is not None
    count = found.head("letter" if letters else "count")
    if found.head("taxon") is None or count is None:
        return None
    return CatchMapping(
        taxon=found.head("taxon"),
        count=count,
        letters=letters,
        life_stage=found.coded("life_stage"),
        gear=found.coded("gear"),
        minutes=found.measured("minutes"),
        area_m2=found.measured("area_m2"),
        jabs=found.measured("jabs"),
        mesh_um=found.measured("mesh_um"),
        sorted_share=found.measured("sorted_share"),
    )
