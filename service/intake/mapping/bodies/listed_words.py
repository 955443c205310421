"""Words of a sheet that must stand for one word of a closed list, such as the weather."""

from collections.abc import Callable
from enum import StrEnum
from typing import Annotated

from pydantic import AfterValidator

from service.intake.mapping.bodies.columns import Coded
from service.intake.mapping.written.words import plain_word
from service.science.types import VisitKind
from service.visits.schemas import Flow, Gear, Ice, LifeStage, Weather


def _of(words: type[StrEnum] | tuple[str, ...]) -> Callable[[Coded], Coded]:
    listed = {str(word) for word in words}

    def stands_for_listed_words(coded: Coded) -> Coded:
        given = [coded.value, *(coded.values or {}).values()]
        wrong = [word for word in given if word and plain_word(word) not in listed]
        if wrong:
            raise ValueError(f'"{wrong[0]}" is none of {", ".join(sorted(listed))}')
        return coded

    return stands_for_listed_words


KindWord = Annotated[Coded, AfterValidator(_of(VisitKind))]
WeatherWord = Annotated[Coded, AfterValidator(_of(Weather))]
FlowWord = Annotated[Coded, AfterValidator(_of(Flow))]
IceWord = Annotated[Coded, AfterValidator(_of(Ice))]
GearWord = Annotated[Coded, AfterValidator(_of(Gear))]
LifeStageWord = Annotated[Coded, AfterValidator(_of(LifeStage))]
YesNoWord = Annotated[Coded, AfterValidator(_of(("yes", "no")))]
