"""From a word of a sheet to a site of the network: its code, or its exact name."""

from collections import defaultdict
from collections.abc import Mapping
from typing import NamedTuple

from service.intake.mapping.cell_problem import Refused
from service.intake.mapping.written.words import NearWords, plain_word


class Place(NamedTuple):
    """A site as far as a sheet needs it: its name and the time zone of its clocks."""

    name: str
    time_zone: str


Places = Mapping[str, tuple[str, str]]


class SiteFinder:
    """Finds sites by code and by name; capitals and blanks make no difference, near is not enough."""

    def __init__(self, places: Places) -> None:
        self._codes = {plain_word(code): code for code in places}
        self._names: defaultdict[str, list[str]] = defaultdict(list)
        for code, (name, _) in places.items():
            self._names[plain_word(name)].append(code)
        self._near = NearWords([*(name for name, _ in places.values()), *places])

    def find(self, word: str) -> str:
        """Return the code of the site that a word names.

        Raises
        ------
        Refused
            No site has this code or name, or more than one has this name.
        """
        form = plain_word(word)
        if form in self._codes:
            return self._codes[form]
        named = self._names.get(form, [])
        if len(named) == 1:
            return named[0]
        if named:
            raise Refused(f"is the name of {' and '.join(named)}; write the code of the one that is meant")
        raise Refused(
            f"is no site that may be written to{self._near.did_you_mean(word) or '.'} Correct it, add the "
            "site first, or say in the mapping which site the word means"
        )
