"""Build the service: engine, error handlers and routers, nothing else."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

import anyio.to_thread
from fastapi import Depends, FastAPI
from fastapi.routing import APIRoute
from fastapi_offline import FastAPIOffline

from service.core import http_errors
from service.core.body_limit import BodyLimit
from service.core.database import make_engine
from service.core.health import router as health_router
from service.core.http_errors import PROBLEM_RESPONSE
from service.core.known_parameters import known_parameters
from service.core.request_id import RequestId
from service.core.settings import Settings
from service.network.routes import router as network_router
from service.reference.load import load_catalogue
from service.reference.routes import router as catalogue_router
from service.review.routes import router as review_router
from service.schools.routes import router as schools_router
from service.sites.routes import router as sites_router
from service.visits.routes import router as visits_router

DESCRIPTION = """
Schools hand in their visits to a stream; each is checked and scored here, and the whole network answers by
watershed and date. Results are screening results: local codes and licensed practice decide what is done
about them.
"""


@asynccontextmanager
async def _running(app: FastAPI) -> AsyncIterator[None]:
    # No more requests at work than there are connections: none waits for the pool until it fails.
    anyio.to_thread.current_default_thread_limiter().total_tokens = app.state.settings.threads
    yield
    app.state.engine.dispose()


def create_app(settings: Settings) -> FastAPI:
    """Return the service for these settings; unsound reference data stops it here."""
    load_catalogue()
    app = FastAPIOffline(
        title=f"{settings.network_name}: visit register",
        version="1",
        description=DESCRIPTION,
        redoc_url=None,
        redirect_slashes=False,
        lifespan=_running,
        generate_unique_id_function=_operation_id,
        dependencies=[Depends(known_parameters)],
        responses={"4XX": PROBLEM_RESPONSE},
    )
    app.state.settings = settings
    app.state.engine = make_engine(
        settings.database_url, connections=settings.threads, timeout_s=settings.statement_timeout_s
    )
    http_errors.install(app)
    for router in (
        network_router,
        review_router,
        visits_router,
        sites_router,
        schools_router,
        catalogue_router,
        health_router,
    ):
        app.include_router(router)
    app.add_middleware(BodyLimit, limit_bytes=settings.max_body_bytes)
    app.add_middleware(RequestId)
    return app


def _operation_id(route: APIRoute) -> str:
    return route.name
