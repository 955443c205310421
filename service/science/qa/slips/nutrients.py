"""Slips of the basis: nitrate as NO3 or as N, phosphate as PO4 or as P.

Ammonia is left out on purpose: its two factors (1.216 and 1.288) are lost in the doubt of any kit.
"""

from service.science.qa.slips.slip import Slip
from service.science.qa.slips.wrong_unit import wrong_unit


def _basis(kind: str, parameter: str, written: str, meant: str, name: str) -> Slip:
    question = f"Does the kit read as {name}? Then it would be {{would_be}}."
    return wrong_unit(
        kind,
        parameter,
        written=f"mg/L as {written}",
        meant=f"mg/L as {meant}",
        least=0,
        most=1000,
        question=question,
        kit_decides=True,
    )


NITRATE_AS_NO3 = _basis("nitrate-as-no3", "nitrate", "N", "NO3", "nitrate (NO3)")
NITRATE_AS_N = _basis("nitrate-as-n", "nitrate", "NO3", "N", "nitrogen (N)")
PHOSPHATE_AS_PO4 = _basis("phosphate-as-po4", "phosphate", "P", "PO4", "phosphate (PO4)")
PHOSPHATE_AS_P = _basis("phosphate-as-p", "phosphate", "PO4", "P", "phosphorus (P)")
