"""An invented network: three reference sites on one stream with twelve spring catches, and a poor catch."""

from collections.abc import Sequence
from typing import Any

from tests.api import Api, Json, catch, visit

WATERSHED = "0207001001"
ANIMALS = (
    "Perlidae",
    "Heptageniidae",
    "Baetidae",
    "Hydropsychidae",
    "Glossosomatidae",
    "Elmidae",
    "Chironomidae",
)
SITES = ("reed-01", "reed-02", "reed-03")
CATCHES = [
    (8, 41, 22, 25, 3, 9, 14),
    (5, 36, 12, 31, 0, 12, 26),
    (11, 44, 18, 21, 6, 9, 11),
    (2, 28, 16, 34, 0, 14, 25),
    (9, 38, 23, 19, 2, 12, 18),
    (0, 42, 17, 33, 4, 8, 37),
    (7, 29, 24, 22, 5, 16, 16),
    (6, 33, 19, 27, 0, 11, 24),
    (12, 37, 21, 18, 7, 14, 13),
    (4, 32, 0, 36, 1, 13, 34),
    (3, 27, 14, 41, 2, 17, 29),
    (9, 35, 26, 24, 0, 6, 21),
]
POOR = catch(("Chironomidae", 12), ("aquatic worm", 131), ("Physidae", 19))


def spring_catch(numbers: tuple[int, ...], **more: Any) -> Json:
    return catch(*(pair for pair in zip(ANIMALS, numbers, strict=True) if pair[1]), **more)


def submit_reference(
    api: Api, catches: Sequence[tuple[int, ...]] = CATCHES, sites: Sequence[str] = SITES, **more: Any
) -> list[Json]:
    """Enter the third site and hand in the catches, site after site, in April and May."""
    place = {"scheme": "huc", "code": "020700100103"}
    site = {"code": "reed-03", "name": "Reed-03", "school": "heron", "watershed": place}
    assert api.post("/v1/sites", site).status_code == 201
    return [
        api.submit(
            visit(
                sites[number % len(sites)],
                f"2025-{4 + number // 6:02}-{3 + 2 * number % 12:02}T10:15:00-04:00",
                readings=[],
                catch=spring_catch(numbers, **more),
            ),
            "coordinator",
        )
        for number, numbers in enumerate(catches)
    ]


def index_body(**more: Any) -> Json:
    return {
        "code": "reed-spring",
        "title": "Reed in spring",
        "watershed": {"scheme": "huc", "code": WATERSHED},
        "months": [5, 4],
        "reference_sites": list(SITES),
        "reference_from": "2025-01-01",
        "reference_until": "2025-12-31",
        "scoring": "quartiles",
        "metrics": [
            {"index": "taxa-richness", "rises_with_disturbance": False},
            {"index": "ept-percent", "rises_with_disturbance": False},
            {"index": "family-biotic-extended", "rises_with_disturbance": True},
        ],
    } | more


def define(api: Api, **more: Any) -> Json:
    answer = api.post("/v1/indices", index_body(**more))
    assert answer.status_code == 201, answer.text
    return answer.json()


def own_score(answer: Json, code: str = "reed-spring") -> Json | None:
    return next((score for score in answer["scores"] if score["index"] == code), None)
