"""The place of a site, from one or two pairs of coordinates."""

from service.intake.mapping.readers.coded import CodedReader
from service.intake.mapping.readers.head import Bound, Head
from service.intake.mapping.readers.open_row import OpenRow
from service.intake.mapping.written.numbers import NumberRule
from service.intake.site_lists.datum import why_not
from service.intake.site_lists.degrees import DegreesReader
from service.intake.site_lists.mapping import Pair, PlaceMapping
from service.intake.site_lists.slip import likely_slip
from service.science.distance import distance_km
from service.science.types import Place

NOUGHTS = "0, 0 lies in the open sea and is what programs write for nothing; the place is taken as not known"
HALF = "stands alone; write the other half of the place too, or empty both"
NO_PLACE = "no place is written; the site goes in without one"


class PairReader:
    """Reads one pair of coordinates."""

    def __init__(self, pair: Pair, head: Head, rule: NumberRule) -> None:
        self.latitude = DegreesReader("latitude", pair.latitude, head, rule)
        self.longitude = DegreesReader("longitude", pair.longitude, head, rule)

    def read(self, row: OpenRow) -> Place | None:
        """Return the place; ``None`` where there is none, which is told unless the cells are empty."""
        before = len(row.problems)
        north, east = self.latitude.read(row), self.longitude.read(row)
        if len(row.problems) > before:
            return None
        if north is None and east is None:
            return None
        if north is None or east is None:
            row.refuse((self.longitude if north is None else self.latitude).bound, HALF)
            return None
        if north == 0 and east == 0:
            row.remark(self.latitude.bound, "0, 0", NOUGHTS)
            return None
        return Place(north, east)


class PlaceReader:
    """Reads the place of a site, and holds a second pair against the first."""

    def __init__(self, place: PlaceMapping, head: Head, rule: NumberRule) -> None:
        self._first = PairReader(place, head, rule)
        self._second = PairReader(place.second, head, rule) if place.second else None
        self._apart_km = place.apart_km or 0
        self._datum = CodedReader(place.datum, head) if place.datum else None

    @property
    def bounds(self) -> dict[str, Bound]:
        """The columns in which the place is looked for first."""
        return {"latitude": self._first.latitude.bound, "longitude": self._first.longitude.bound}

    def read(self, row: OpenRow) -> Place | None:
        """Return where the site is; ``None`` where it is not known or was refused."""
        remarks, before = len(row.remarks), len(row.problems)
        first = self._first.read(row)
        second = self._second.read(row) if self._second else None
        if len(row.problems) > before:
            return None
        bound = self._first.latitude.bound
        if first and second and self._are_apart(row, first, second):
            return None
        found = first or second
        if found is None:
            if len(row.remarks) == remarks:
                row.remark(bound, "", NO_PLACE)
            return None
        if first is None:
            row.remark(bound, "", "the first pair says nothing; the place of the second pair was taken")
        return found if self._is_on_a_known_datum(row) else None

    def _are_apart(self, row: OpenRow, first: Place, second: Place) -> bool:
        far = distance_km(first, second)
        if far <= self._apart_km:
            return False
        slip = likely_slip(first, second)
        row.refuse(
            self._first.latitude.bound,
            f"is {far:.1f} km from the second place of the row: {_shown(first)} and {_shown(second)}"
            f"{'; ' if slip else ''}{slip}. Correct the wrong one",
        )
        return True

    def _is_on_a_known_datum(self, row: OpenRow) -> bool:
        if self._datum is None:
            return True
        before = len(row.problems)
        datum = self._datum.read(row)
        if not datum and len(row.problems) == before and self._datum.bound:
            row.remark(self._datum.bound, "", "no datum is written; the place is taken as WGS 84")
        elif datum and (why := why_not(datum)):
            row.refuse(self._datum.bound, why)
        return len(row.problems) == before


def _shown(place: Place) -> str:
    return f"{place.latitude:.5f}, {place.longitude:.5f}"
