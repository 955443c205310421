"""Build the service: engine, error handlers and routers, nothing else."""

import os
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

import anyio.to_thread
from fastapi import Depends, FastAPI
from fastapi.routing import APIRoute
from fastapi_offline import FastAPIOffline

from service.core import http_errors
from service.core.answers_kept import MEBIBYTE, AnswersKept
from service.core.database import make_engine
from service.core.described_answers import describe_answers
from service.core.door.admission import Admission
from service.core.door.compress import Compress
from service.core.door.cross_origin import CrossOrigin
from service.core.door.for_people import ForPeople
from service.core.door.head import Head
from service.core.door.keep_answers import KeepAnswers
from service.core.door.keeping import Keeping
from service.core.door.key_first import KeyFirst
from service.core.door.names_once import NamesOnce
from service.core.door.public_prefix import WithoutPrefix, WithPrefix
from service.core.door.ranges import Ranges
from service.core.door.rate_limit import RateLimit
from service.core.door.small_head import SmallHead
from service.core.door.watch import Watch
from service.core.door.whole_body import WholeBody
from service.core.durability import warn_unless_durable
from service.core.health import router as health_router
from service.core.known_parameters import known_parameters
from service.core.logs import log_as_json
from service.core.rates import NO_LIMIT, Rates
from service.core.request_id import RequestId
from service.core.settings import Settings, read_settings
from service.core.temporary_folder import keep_temporary_folder
from service.criteria.routes import router as criteria_router
from service.intake.form.refused import refusal_pages
from service.intake.form.routes import router as form_router
from service.intake.imports.mapping_routes import router as mappings_router
from service.intake.imports.routes import router as imports_router
from service.intake.paper.routes import router as paper_router
from service.intake.propose.routes import router as propose_router
from service.intake.site_lists.routes import router as site_lists_router
from service.intake.template.routes import router as template_router
from service.network.coverage.routes import router as coverage_router
from service.network.dictionary.routes import router as dictionary_router
from service.network.exports.routes import router as exports_router
from service.network.feed.routes import router as feed_router
from service.network.latest.routes import router as latest_router
from service.network.objectives.routes import router as objectives_router
from service.network.ogc.routes import router as ogc_router
from service.network.profile.routes import router as profile_router
from service.network.reference_condition.routes import router as reference_condition_router
from service.network.routes import router as network_router
from service.network.trend.routes import router as trend_router
from service.reference.load import load_catalogue
from service.reference.routes import router as catalogue_router
from service.review.audit.routes import router as audit_router
from service.review.routes import router as review_router
from service.schools.caller import read_caller
from service.schools.metrics_route import router as metrics_router
from service.schools.note_use import NOTE_PATIENCE_S
from service.schools.routes import router as schools_router
from service.sites.routes import router as sites_router
from service.visits.private.routes import router as private_router
from service.visits.routes import router as visits_router

DESCRIPTION = """
Schools hand in their visits to a stream; each is checked and scored here, and the whole network answers by
watershed and date. Results are screening results: local codes and licensed practice decide what is done
about them.
"""

GROUPS = {
    "submit": "Hand in visits, one by one or from a sheet.",
    "ask": "Ask the whole network by watershed and date, in the formats that people read.",
    "map": "Sites, readings and scores as OGC API - Features, for maps.",
    "steer": "Decide on what is held, and keep schools, sites, kits, criteria and keys.",
    "catalogue": "The reference data, each row with its source.",
    "service": "Whether the service is well.",
}

ROUTERS = (
    network_router,
    reference_condition_router,
    objectives_router,
    profile_router,
    trend_router,
    feed_router,
    exports_router,
    dictionary_router,
    latest_router,
    coverage_router,
    ogc_router,
    form_router,
    paper_router,
    template_router,
    propose_router,
    audit_router,
    site_lists_router,
    imports_router,
    mappings_router,
    review_router,
    visits_router,
    private_router,
    criteria_router,
    sites_router,
    schools_router,
    catalogue_router,
    health_router,
    metrics_router,
)

KEYS_IN_BODY = ("/form",)  # addresses to which a key is sent in the body
UPLOADS = ("/v1/imports", "/v1/imports/propose", "/v1/imports/sites")  # addresses that take a file


@asynccontextmanager
async def _running(app: FastAPI) -> AsyncIterator[None]:
    # A thread for each request that is let in, and one for those that take no connection.
    anyio.to_thread.current_default_thread_limiter().total_tokens = app.state.settings.threads + 1
    warn_unless_durable(app.state.note_engine)  # it waits the shortest for a database that is away
    yield
    app.state.engine.dispose()
    app.state.note_engine.dispose()


def create_app(settings: Settings, rates: Rates = NO_LIMIT) -> FastAPI:
    """Return the service for these settings; unsound reference data stops it here.

    ``rates`` bound what one caller may ask of a served process; used in its own process it has no bounds.
    """
    load_catalogue()
    app = FastAPIOffline(
        title=f"{settings.network_name}: visit register",
        version="1",
        description=DESCRIPTION,
        contact={"name": settings.attributed_to},
        license_info={"name": "Licence of the data", "url": settings.licence_url},
        servers=[{"url": settings.public_prefix or "/"}],
        openapi_tags=[{"name": name, "description": text} for name, text in GROUPS.items()],
        redoc_url=None,
        redirect_slashes=False,
        lifespan=_running,
        generate_unique_id_function=_operation_id,
        dependencies=[Depends(known_parameters)],
        responses={"4XX": {}},  # instead of FastAPI's own 422; each status is named by describe_answers
    )
    app.state.settings = settings
    app.state.answers_kept = AnswersKept(settings.kept_answers_mib * MEBIBYTE)
    app.state.engine = make_engine(
        settings.database_url, connections=settings.threads, timeout_s=settings.statement_timeout_s
    )
    app.state.note_engine = make_engine(settings.database_url, connections=1, timeout_s=NOTE_PATIENCE_S)
    http_errors.install(app)
    for router in ROUTERS:
        app.include_router(router)
    describe_answers(app, read_caller if settings.public_read else None)
    _hang_doors(app, settings, rates)
    return app


def _hang_doors(app: FastAPI, settings: Settings, rates: Rates) -> None:
    """Put the doors of ``service/core/door`` before the app, the inner ones first."""
    app.add_middleware(KeepAnswers, kept=app.state.answers_kept)
    app.add_middleware(WithPrefix, prefix=settings.public_prefix)
    app.add_middleware(Ranges)
    app.add_middleware(Keeping)
    app.add_middleware(Compress)
    app.add_middleware(Head)
    app.add_middleware(Admission, places=settings.threads, patience_s=settings.statement_timeout_s)
    app.add_middleware(NamesOnce)
    app.add_middleware(
        WholeBody,
        limit_bytes=settings.max_body_bytes,
        deadline_s=settings.receive_timeout_s,
        uploads=dict.fromkeys(UPLOADS, settings.max_upload_bytes),
    )
    app.add_middleware(KeyFirst)
    app.add_middleware(RateLimit, rates=rates, file=settings.rate_file, keys_in_body=KEYS_IN_BODY)
    app.add_middleware(SmallHead)
    app.add_middleware(ForPeople, pages={"/form": refusal_pages(settings.network_name)})
    app.add_middleware(CrossOrigin)
    app.add_middleware(Watch)
    app.add_middleware(RequestId)
    app.add_middleware(WithoutPrefix, prefix=settings.public_prefix)


def from_environment() -> FastAPI:
    """Return the service for the settings of the environment: what each worker of `wadebook serve` runs."""
    settings = read_settings(os.environ)
    keep_temporary_folder()
    log_as_json(settings.log_level)
    return create_app(settings, settings.rates)


def _operation_id(route: APIRoute) -> str:
    return route.name
