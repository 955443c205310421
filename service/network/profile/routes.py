"""The address that tells where along a stream something changes."""

from typing import Annotated

from fastapi import APIRouter, Depends, Query

from service.core.database import RequestSession
from service.network.profile.along import stream_profile
from service.network.profile.schemas import ProfileQuery, StreamProfileAnswer
from service.schools.caller import ReadCaller
from service.schools.unchanged import only_if_changed

router = APIRouter(prefix="/v1", tags=["ask"], dependencies=[Depends(only_if_changed)])


@router.get("/streams/{stream}/profile")
def profile_stream(
    stream: str, asked: Annotated[ProfileQuery, Query()], session: RequestSession, caller: ReadCaller
) -> StreamProfileAnswer:
    """Follow a stream from its headwater to its mouth and say between which sites something changes."""
    return stream_profile(session, caller, stream, asked)
