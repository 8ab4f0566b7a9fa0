"""Every error in one shape: application/problem+json (RFC 9457).

The detail is a sentence that says what is wrong and what to do. Nothing of a
traceback leaves the server.
"""

from __future__ import annotations

import logging
from collections.abc import Mapping, Sequence
from http import HTTPStatus
from typing import Any

from fastapi import FastAPI
from fastapi.exceptions import RequestValidationError
from pydantic import BaseModel, Field
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import compile_path

from api.pattern.customs import MOST_TOLD
from api.pattern.faulty import FaultsError
from api.storage.database import StoreError
from api.storage.kept import ConflictError, DamagedError, MissingError, StuckError

MEDIA_TYPE = "application/problem+json"

_log = logging.getLogger("spreadwell")


class Fault(BaseModel):
    """One field that is wrong."""

    where: str = Field(description="The field, from the outside in.", examples=["body.count"])
    detail: str = Field(description="What is wrong with it.")


class Problem(BaseModel):
    """An error (RFC 9457)."""

    type: str = Field(default="about:blank", description="No more is known than the status says.")
    title: str = Field(description="The status in words.", examples=["Not Found"])
    status: int = Field(description="The HTTP status.", examples=[404])
    detail: str = Field(
        description="What is wrong and what to do.",
        examples=["There is no plan 'a1'; it may have been deleted."],
    )
    errors: list[Fault] | None = Field(
        default=None, description="The fields that are wrong, the first of many."
    )

    def json_text(self) -> str:
        """Return the JSON form; without errors if there are none."""
        return self.model_dump_json(exclude_none=True)


class ProblemError(Exception):
    """An error that was described where it happened."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.detail)
        self.problem = problem


_STATUSES: tuple[tuple[type[Exception], int], ...] = (
    (MissingError, 404),
    (StuckError, 409),
    (ConflictError, 412),
    (DamagedError, 500),
    (StoreError, 503),
)

_NOT_FOUND = "There is nothing at this address; check it for a slip."
_WRONG_METHOD = "This address does not know that method; the Allow header lists those it knows."
_UNREADABLE = "The request can't be read; send well-formed JSON or multipart/form-data."
_SERVER_FAULT = (
    "Something went wrong in the server; nothing was changed. Try again, and if it goes wrong "
    "again, look at the server's log."
)
_PLAIN_WORDS = {
    (404, "Not Found"): _NOT_FOUND,
    (405, "Method Not Allowed"): _WRONG_METHOD,
    (400, "There was an error parsing the body"): _UNREADABLE,
}


def sentence(text: str) -> str:
    """Give a message a capital and a full stop."""
    text = text.strip()
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "!", "?")) else ".")


def describe(error: Exception) -> Problem:
    """Return the problem that tells of an exception; an unknown one is logged and not told."""
    if isinstance(error, ProblemError):
        return error.problem
    if isinstance(error, HTTPException):
        words = _PLAIN_WORDS.get((error.status_code, error.detail), error.detail)
        return _problem(error.status_code, words)
    if isinstance(error, RequestValidationError):
        return _invalid(error.errors())
    if isinstance(error, FaultsError):
        return _faulty(error)
    for kind, status in _STATUSES:
        if isinstance(error, kind):
            return _problem(status, str(error))
    _log.error("a request failed", exc_info=error)
    return _problem(500, _SERVER_FAULT)


def answer(problem: Problem, headers: Mapping[str, str] | None = None) -> Response:
    """Return the response that carries a problem."""
    return Response(problem.json_text(), problem.status, headers, MEDIA_TYPE)


def refuse(status: int, detail: str) -> Response:
    """Return a problem of a status and a sentence as a response."""
    return answer(_problem(status, detail))


def install(app: FastAPI) -> None:
    """Make an app answer every error in this shape."""
    kinds = [HTTPException, RequestValidationError, FaultsError, ProblemError]
    kinds += [kind for kind, _ in _STATUSES]
    for kind in kinds:
        app.add_exception_handler(kind, _handle)


def declared(*statuses: int, change: bool = False) -> dict[int | str, dict[str, Any]]:
    """Return the OpenAPI entries of the errors that a route, or one that changes, may answer."""
    everywhere = {421, 503} | ({400, 403, 408, 413} if change else set())
    return {
        status: {
            "description": f"{HTTPStatus(status).phrase}: {_WHEN[status]}",
            "content": {MEDIA_TYPE: {"schema": {"$ref": "#/components/schemas/Problem"}}},
        }
        for status in sorted({*everywhere, *statuses})
    }


def in_place_of_framework(schema: dict[str, Any]) -> dict[str, Any]:
    """Describe Problem in an OpenAPI document, and drop the framework's own shape of errors."""
    components = schema.setdefault("components", {}).setdefault("schemas", {})
    for name in ("HTTPValidationError", "ValidationError"):
        components.pop(name, None)
    model = Problem.model_json_schema(ref_template="#/components/schemas/{model}")
    components |= {**model.pop("$defs"), "Problem": model}
    for path in schema["paths"].values():
        for operation in path.values():
            responses = operation["responses"]
            if "application/json" in responses.get("422", {}).get("content", {}):
                del responses["422"]
    return schema


_WHEN = {
    400: "the request can't be read",
    403: "a page of another site sent it",
    404: "there is no such plan, fabric or picture",
    408: "the body did not arrive in time",
    409: "the plan has nothing to undo or no layout yet, or a check found a fault in it",
    412: "the plan is no longer at the revision named in If-Match",
    413: "the body is too large",
    421: "the Host header names another machine",
    422: "a value is missing or wrong; errors lists them",
    503: "the database can't be used",
}


async def _handle(request: Request, error: Exception) -> Response:
    headers = dict(getattr(error, "headers", None) or {})
    problem = describe(error)
    if problem.status == 405:
        headers["Allow"] = ", ".join(sorted(_allowed(request)))
    return answer(problem, headers)


def _allowed(request: Request) -> set[str]:
    """Return the methods that an address knows (RFC 9110, 15.5.6)."""
    path, paths = request.scope["path"], request.app.openapi()["paths"]
    # An address that is spelt out is no plan's, though a plan's would look the same.
    known = [path] if path in paths else [p for p in paths if compile_path(p)[0].match(path)]
    return {method.upper() for one in known for method in paths[one]} or {"GET", "HEAD"}


def _problem(status: int, detail: str, faults: Sequence[Fault] = ()) -> Problem:
    title = HTTPStatus(status).phrase
    text = sentence(detail)
    return Problem(title=title, status=status, detail=text, errors=list(faults) or None)


def _faulty(error: FaultsError) -> Problem:
    """Refuse to tell what the judges find fault with; every fault is listed."""
    from api.wording.faults import refusal, sentences

    _log.error("the judges found a fault: %s", error)
    faults = [Fault(where="check", detail=said) for said in sentences(error.plan, error.faults)]
    return _problem(409, refusal(error.plan, error.faults), faults)


_HOLDERS = {"body", "query", "path", "setting", "sewing"}
"""Parts of a request that hold fields and say nothing to people."""


def _in_words(where: Sequence[str]) -> str:
    """Name a field of a request as people would: 'block size', 'borders 1 width'."""
    parts = [part for part in where if part not in _HOLDERS] or where
    counted = [str(int(part) + 1) if part.isdigit() else part for part in parts]
    return " ".join(counted).replace("_", " ")


def _invalid(errors: Sequence[Mapping[str, Any]]) -> Problem:
    faults = [
        Fault(
            where=".".join(str(part)[:80] for part in error["loc"]),
            detail=sentence(str(error["msg"]).removeprefix("Value error, ")),
        )
        for error in errors[:MOST_TOLD]
    ]
    # People read the sentence; where in the request the field stood is for programs.
    field = _in_words(faults[0].where.split("."))
    more = f" (and {len(errors) - 1} more)" if len(errors) > 1 else ""
    return _problem(422, f"{field}: {faults[0].detail.rstrip('.')}{more}", faults)
