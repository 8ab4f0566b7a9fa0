"""Every route says what it is for, what it takes and everything it may answer."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator

    from fastapi.testclient import TestClient

ROUTES = {
    "GET /api/health",
    "GET /api/plans/{plan}/what-if",
    "GET /api/what-if",
    "GET /api/plans/{plan}/sizes",
    "GET /api/blocks",
    "GET /api/plans",
    "POST /api/plans",
    "GET /api/plans/{plan}",
    "DELETE /api/plans/{plan}",
    "PATCH /api/plans/{plan}/brief",
    "POST /api/plans/{plan}/fabrics",
    "POST /api/plans/{plan}/bundle/look",
    "POST /api/plans/{plan}/fabrics/{fabric}/reading/look",
    "PUT /api/plans/{plan}/fabrics/{fabric}/reading",
    "POST /api/plans/{plan}/colours",
    "PUT /api/plans/{plan}/fabrics/{fabric}/photo",
    "POST /api/plans/{plan}/bundle/correct",
    "POST /api/plans/{plan}/bundle/accept",
    "PATCH /api/plans/{plan}/fabrics/{fabric}",
    "DELETE /api/plans/{plan}/fabrics/{fabric}",
    "POST /api/plans/{plan}/layout",
    "POST /api/plans/{plan}/layout/further",
    "POST /api/plans/{plan}/layout/swap",
    "PUT /api/plans/{plan}/layout/pins/{cell}",
    "GET /api/plans/{plan}/layout/swaps",
    "GET /api/plans/{plan}/layout/near",
    "GET /api/plans/{plan}/picks/tries",
    "POST /api/plans/{plan}/picks/swap",
    "POST /api/plans/{plan}/undo",
    "POST /api/plans/{plan}/redo",
    "GET /api/plans/{plan}/variants",
    "GET /api/plans/{plan}/plan.zip",
    "POST /api/plans/open",
    "POST /api/plans/{plan}/link",
    "GET /api/plans/{plan}/link",
    "DELETE /api/plans/{plan}/link",
    "GET /view/{token}",
    "GET /api/plans/{plan}/revisions",
    "POST /api/plans/{plan}/revisions/{revision}",
    "GET /api/plans/{plan}/drawings/{view}.{form}",
    "GET /api/plans/{plan}/booklet.pdf",
    "GET /api/plans/{plan}/booklet.html",
    "GET /api/plans/{plan}/plan.json",
    "GET /api/plans/{plan}/check",
    "GET /api/plans/{plan}/cutting",
    "GET /api/plans/{plan}/cutting/forms",
    "GET /api/plans/{plan}/cutting/methods",
    "GET /api/plans/{plan}/cutting/table",
    "GET /api/plans/{plan}/cutting.txt",
    "GET /api/plans/{plan}/cutting/{fabric}.{form}",
    "GET /api/cloth",
    "GET /api/swatches/{picture}.jpg",
}


@pytest.fixture
def described(client: TestClient) -> dict[str, Any]:
    document: dict[str, Any] = client.get("/openapi.json").json()
    return document


def operations(document: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    for path, methods in document["paths"].items():
        for method, operation in methods.items():
            yield f"{method.upper()} {path}", operation


def test_all_routes_are_described(described: dict[str, Any]) -> None:
    assert {name for name, _ in operations(described)} == ROUTES


def test_every_route_has_a_summary_and_a_description(described: dict[str, Any]) -> None:
    for name, operation in operations(described):
        assert operation["summary"], name
        assert len(operation["description"]) > 20, name


def test_every_parameter_and_every_body_has_a_description(described: dict[str, Any]) -> None:
    for name, operation in operations(described):
        for parameter in operation.get("parameters", ()):
            assert parameter.get("description"), (name, parameter["name"])


def test_every_field_that_can_be_sent_is_described_or_speaks_for_itself(
    described: dict[str, Any],
) -> None:
    schemas = described["components"]["schemas"]
    for name in (
        "NewPlan",
        "ColourIn",
        "BriefChange",
        "FabricChange",
        "Arranging",
        "SwapIn",
        "PinState",
    ):
        assert schemas[name]["additionalProperties"] is False
        assert schemas[name]["description"], name


def test_there_are_examples_of_what_to_send(described: dict[str, Any]) -> None:
    text = str(described["components"]["schemas"]["BriefChange"])
    assert "examples" in text
    assert "1 1/2" in text


def test_no_name_tells_where_a_type_is_written(described: dict[str, Any]) -> None:
    assert [name for name in described["components"]["schemas"] if "__" in name] == []


def test_every_error_is_declared_as_a_problem(described: dict[str, Any]) -> None:
    for name, operation in operations(described):
        errors = {code for code in operation["responses"] if code >= "400"}
        assert {"421", "503"} <= errors, name
        if name.split()[0] in ("POST", "PUT", "PATCH", "DELETE"):
            assert {"400", "403", "408", "413"} <= errors, name
        for code in errors:
            assert set(operation["responses"][code]["content"]) == {"application/problem+json"}
            assert operation["responses"][code]["description"]


def test_routes_of_one_plan_declare_that_it_may_be_missing(described: dict[str, Any]) -> None:
    for name, operation in operations(described):
        if "{plan}" in name:
            assert "404" in operation["responses"], name


def test_the_frameworks_own_shape_of_errors_is_nowhere(described: dict[str, Any]) -> None:
    assert "HTTPValidationError" not in str(described)


def test_work_that_can_be_followed_says_so(described: dict[str, Any]) -> None:
    for path, method in (("brief", "patch"), ("layout", "post")):
        answer = described["paths"][f"/api/plans/{{plan}}/{path}"][method]["responses"]["200"]
        assert set(answer["content"]) == {"application/json", "text/event-stream"}
