"""The data keep to their OpenAPI document, whatever they are asked (Schemathesis)."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any
from urllib.parse import parse_qsl

import pytest
import schemathesis
from fastapi import FastAPI
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis import Case
from schemathesis.checks import not_a_server_error
from schemathesis.generation import GenerationMode
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from amounts import amount
from browser.pages import Ids, furnish
from sockwright.web.app import DATA_ROUTERS, OPENAPI, make_site
from web import sites

CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]

quickly = settings(
    max_examples=amount(6, 100),
    deadline=None,
    derandomize=True,
    database=None,
    phases=(Phase.explicit, Phase.generate),
    suppress_health_check=list(HealthCheck),
)


Headers = dict[str, str]

KINDS_OF_FOLDER = {
    "people": "person",
    "yarns": "yarn",
    "machines": "machine",
    "swatches": "swatch",
    "designs": "design",
    "notes": "note",
    "socks": "made",
}
"""Which of the ids of the furnished site an address under a folder of the data takes."""


def operations() -> Iterator[tuple[str, str, GenerationMode]]:
    """Method and path of everything that can be asked for as data, rightly and wrongly."""
    app = FastAPI()
    for router in DATA_ROUTERS:
        app.include_router(router, prefix="/data")
    for path, methods in sorted(app.openapi()["paths"].items()):
        for method, told in sorted(methods.items()):
            yield method.upper(), path, GenerationMode.POSITIVE
            if told.get("parameters"):
                yield method.upper(), path, GenerationMode.NEGATIVE


@pytest.fixture(scope="module")
def furnished(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Any, Ids, Headers]]:
    """The document of a furnished site, which is asked within this process, its ids, and what
    tells that one of its pages asks."""
    with sites.workshop(tmp_path_factory.mktemp("openapi"), example=True) as shop:
        ids = furnish(shop)
        site = make_site(shop, (sites.HOST,))
        own = {"origin": f"http://{sites.HOST}"}
        yield schemathesis.openapi.from_asgi(OPENAPI, site), ids, own


def test_there_is_something_to_ask() -> None:
    assert ("GET", "/data/plan", GenerationMode.NEGATIVE) in set(operations())


@pytest.mark.parametrize(("method", "path", "mode"), list(operations()))
def test_every_answer_is_as_the_document_says(
    furnished: tuple[Any, Ids, Headers], method: str, path: str, mode: GenerationMode
) -> None:
    document, ids, own = furnished

    @quickly
    @given(case=document[path][method].as_strategy(generation_mode=mode))
    def ask(case: Case) -> None:
        case.call_and_validate(checks=CHECKS)
        if about_what_is_kept(case, path, ids):
            case.call_and_validate(checks=CHECKS, headers=own)

    ask()


def about_what_is_kept(case: Case, path: str, ids: Ids) -> bool:
    """Turn a made-up question into one about things that are there; whether that can be."""
    folder = path.split("/")[2] if path.count("/") > 1 else ""
    if folder in KINDS_OF_FOLDER and "id" in case.path_parameters:
        case.path_parameters["id"] = ids[KINDS_OF_FOLDER[folder]]
        return True
    if folder == "plan":
        case.query.update(parse_qsl(ids["choice"]))
        return True
    return False
