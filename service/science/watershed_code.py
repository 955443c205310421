"""Hierarchical watershed codes: text in which a code that begins with another's lies inside it.

Contained in, not upstream of: a watershed may drain into its neighbour without sharing its prefix.

Reference
---------
USGS and NRCS, Watershed Boundary Dataset: two digits a level, regions 01 to 22, complete to 12 digits, two
more levels allowed. HydroBASINS technical documentation v1.c (Lehner): Pfafstetter codes, one digit a level,
first digit 1 to 9.
"""

import re
from dataclasses import dataclass

_LEGAL = {
    "huc": re.compile(r"(0[1-9]|1[0-9]|2[0-2])([0-9]{2}){0,7}"),
    "pfafstetter": re.compile(r"[1-9][0-9]{0,11}"),
}
SCHEMES = tuple(_LEGAL)
_JUST_ABOVE_NINE = ":"  # the character after "9" in byte order


@dataclass(frozen=True, slots=True)
class WatershedCode:
    """A legal code in its scheme. ``zero_restored`` tells that a lost leading zero was put back."""

    scheme: str
    code: str
    zero_restored: bool = False

    @property
    def text(self) -> str:
        """The code as it is written with its scheme, such as ``huc:0207``."""
        return f"{self.scheme}:{self.code}"

    @property
    def upper_bound(self) -> str:
        """The text that is greater than every code inside this one, and than no other (byte order)."""
        return self.code + _JUST_ABOVE_NINE


def read_code(scheme: str, text: str) -> WatershedCode:
    """Return the legal code behind what was written.

    Hydrologic unit codes have an even number of digits; one that is odd and does not begin with 0 has lost
    the zero of a region 01 to 09 in a spreadsheet, and gets it back. Separators and a trailing ``.0`` go.

    Raises
    ------
    ValueError
        The scheme is unknown, or the code is not legal in it; the message says why.
    """
    if scheme not in _LEGAL:
        raise ValueError(f"{scheme} is not a watershed scheme known here; known are {', '.join(SCHEMES)}")
    bare = re.sub(r"[ ._-]", "", text.removesuffix(".0"))
    if re.fullmatch(r"[0-9]+[eE]\+?[0-9]+", bare):
        raise ValueError("a spreadsheet has cut this code and its last digits are lost; send it as text")
    lost_zero = scheme == "huc" and len(bare) % 2 == 1 and not bare.startswith("0")
    code = "0" + bare if lost_zero else bare
    if not _LEGAL[scheme].fullmatch(code):
        told = {
            "huc": "a hydrologic unit code has 2 to 16 digits, an even number, and begins with 01 to 22",
            "pfafstetter": "a Pfafstetter code has 1 to 12 digits and does not begin with 0",
        }
        raise ValueError(told[scheme])
    return WatershedCode(scheme, code, lost_zero)


def levels(code: WatershedCode) -> tuple[str, ...]:
    """Return the codes of the watersheds around this one, widest first, itself last."""
    digits = 2 if code.scheme == "huc" else 1
    return tuple(code.code[:length] for length in range(digits, len(code.code) + 1, digits))


HUC_WATERSHED_DIGITS = 10


def neighbourhood(code: WatershedCode) -> WatershedCode | None:
    """Return the watershed whose sites share weather and floods with a site of this code.

    That is the ten-digit unit it lies in, or in the Pfafstetter scheme the basin one level up; ``None`` where
    the code is too coarse to tell.
    """
    if code.scheme == "huc":
        wide = code.code[:HUC_WATERSHED_DIGITS]
        return WatershedCode("huc", wide) if len(wide) == HUC_WATERSHED_DIGITS else None
    return WatershedCode(code.scheme, code.code[:-1]) if len(code.code) > 1 else None
