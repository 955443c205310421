"""The worked example of the CCME index as variables: six parameters at six visits, one nitrate missing."""

import math
from collections.abc import Mapping
from dataclasses import replace
from itertools import groupby
from operator import itemgetter

from service.science.ccme_index import Variable
from service.science.ccme_judgement import Observation
from service.science.criterion import Criterion
from tests.science.check_table import rows


def criterion(parameter="dissolved_oxygen", at_least=None, at_most=None, formula=None) -> Criterion:
    return Criterion(f"{parameter}-set", parameter, parameter, "unit", at_least, at_most, "invented", formula)


def number(value, objective, width=0.0, step=None) -> Observation:
    return Observation((value, value), (value - width, value + width), objective, step)


def said(text: str, objective: Criterion, step=None) -> Observation:
    """Return what a reading such as "<4", ">60" or "7.5" says."""
    if text[0] not in "<>":
        return number(float(text), objective, step=step)
    limit = float(text[1:])
    says = (0.0, limit) if text[0] == "<" else (limit, math.inf)
    return Observation(says, says, objective, step)


def example(**at_most: float) -> list[Variable]:
    """Return the example; upper limits may be exchanged, as ``nitrate=10``."""
    return [
        _variable(parameter, list(found), at_most)
        for parameter, found in groupby(rows("ccme_example"), key=itemgetter("parameter"))
    ]


def _variable(parameter: str, found: list[dict[str, str]], at_most: Mapping[str, float]) -> Variable:
    limits = (float(cell) if cell else None for cell in (found[0]["at_least"], found[0]["at_most"]))
    objective = criterion(parameter, *limits)
    if parameter in at_most:
        objective = replace(objective, at_most=at_most[parameter])
    read = (row["censored"] + row["value"] for row in found if row["value"])
    return Variable(objective, tuple(said(text, objective) for text in read))
