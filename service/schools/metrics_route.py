"""The address of the metrics: for the operator's Prometheus, not for everybody."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from fastapi.security import HTTPAuthorizationCredentials

from service.core.database import RequestSession
from service.core.errors import Forbidden, Unauthenticated
from service.core.metrics import all_metrics
from service.core.settings import Settings
from service.schools.caller import BEARER, read_caller
from service.schools.tables import Role

router = APIRouter(tags=["service"])
CONTENT_TYPE = "text/plain; version=0.0.4; charset=utf-8"


@router.get(
    "/metrics",
    response_class=Response,
    responses={200: {"content": {CONTENT_TYPE: {"schema": {"type": "string"}}}}},
)
def show_metrics(
    request: Request,
    session: RequestSession,
    credentials: Annotated[HTTPAuthorizationCredentials | None, Depends(BEARER)],
) -> Response:
    """Show what the service counts of itself, with a reader's or a coordinator's key."""
    settings: Settings = request.app.state.settings
    if not settings.metrics_public:
        if credentials is None:
            raise Unauthenticated("The metrics need a reader's key: `Authorization: Bearer wb_…`.")
        if read_caller(request, session, credentials).role is Role.SCHOOL:
            raise Forbidden("A school's key does not read the metrics.")
    return Response(all_metrics(), media_type=CONTENT_TYPE)
