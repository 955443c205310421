"""Whether the service is alive, and whether it can do its work."""

import sqlalchemy as sa
from fastapi import APIRouter, Request, Response
from sqlalchemy.exc import SQLAlchemyError

from service.core.http_errors import problem
from service.core.migrate import is_current

router = APIRouter(tags=["service"])


@router.get("/healthz")
def alive() -> dict[str, str]:
    """Say that the service runs."""
    return {"status": "alive"}


@router.get("/readyz", response_model=dict[str, str])
def ready(request: Request) -> dict[str, str] | Response:
    """Say that the database answers and stands at the current schema, or answer 503."""
    try:
        current = is_current(request.app.state.engine)
    except (SQLAlchemyError, sa.exc.ArgumentError):
        return problem(503, "The database does not answer.", headers={"Retry-After": "5"})
    if not current:
        return problem(503, "The database is not at the current schema; run `wadebook migrate`.")
    return {"status": "ready"}
