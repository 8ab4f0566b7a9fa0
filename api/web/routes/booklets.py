"""The printed pattern of a plan: a PDF, and the same as a web page to look at."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, Depends, Query
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from api.booklet.edition import Edition, Ink, Paper
from api.pattern.plan import Plan
from api.web.middleware.security import DRAWING_POLICY
from api.web.problems import declared
from api.web.routes.common import PlanId, WorkspaceHere, need_layout
from api.web.routes.drawings import as_file, file_of, stored_pictures
from api.web.workspace import Workspace, read

router = APIRouter(tags=["booklet"])

Title = Annotated[str, Query(max_length=200, description="Title; the plan's unless given.")]
Designer = Annotated[str, Query(max_length=200, description="The designer's name.")]
Introduction = Annotated[str, Query(max_length=5000, description="Her opening words.")]
Notes = Annotated[str, Query(max_length=5000, description="Her closing words.")]
InkWanted = Annotated[Ink, Query(description="'black' saves ink.")]


def edition_of(
    ink: InkWanted = "colour",
    title: Title = "",
    designer: Designer = "",
    introduction: Introduction = "",
    notes: Notes = "",
) -> Edition:
    """Read the designer's own words and the ink from the query."""
    return Edition(title, designer, introduction, notes, (), "letter", ink)


EditionWanted = Annotated[Edition, Depends(edition_of)]


@router.get(
    "/api/plans/{plan}/booklet.pdf",
    summary="Print a plan's pattern",
    response_class=Response,
    responses={200: file_of("application/pdf"), **declared(404, 409, 422)},
)
async def booklet_pdf(
    request: Request,
    workspace: WorkspaceHere,
    plan: PlanId,
    edition: EditionWanted,
    paper: Annotated[Paper, Query(description="US letter or A4.")] = "letter",
) -> Response:
    """Give the whole pattern as a tagged PDF: the same plan gives the same bytes."""
    wanted = replace(edition, paper=paper)
    return await workspace.finish(request, lambda _: _pdf(workspace, plan, wanted))


@router.get(
    "/api/plans/{plan}/booklet.html",
    summary="Read a plan's pattern",
    response_class=Response,
    responses={200: file_of("text/html"), **declared(404, 409, 422)},
)
async def booklet_html(
    request: Request,
    workspace: WorkspaceHere,
    plan: PlanId,
    edition: EditionWanted,
) -> Response:
    """Give the pattern as one web page without scripts, which changes nothing."""
    return await workspace.finish(request, lambda _: _html(workspace, plan, edition))


def _pdf(workspace: Workspace, plan: str, edition: Edition) -> Response:
    from api.booklet.output import pages

    content, pictures = _content(workspace, plan)
    document = made(lambda: pages.booklet_pdf(content, pictures, edition))
    headers = {
        "content-disposition": as_file(content, "pdf"),
        "cache-control": "private, no-cache",
    }
    return Response(document, 200, headers, "application/pdf")


def _html(workspace: Workspace, plan: str, edition: Edition) -> Response:
    from api.booklet.output import web

    content, pictures = _content(workspace, plan)
    document = made(
        lambda: web.booklet_html(content, pictures, edition, f"/#pattern={plan}").encode()
    )
    headers = {"content-security-policy": DRAWING_POLICY, "cache-control": "private, no-cache"}
    return Response(document, 200, headers, "text/html; charset=utf-8")


def _content(workspace: Workspace, plan: str) -> tuple[Plan, Mapping[str, bytes]]:
    content = need_layout(read(workspace.store.get(plan)))
    return content, stored_pictures(workspace, content)


def made(make: Callable[[], bytes]) -> bytes:
    """Make a booklet; what stands in the way is a conflict with the plan as it is."""
    try:
        return make()
    except ValueError as fault:
        raise HTTPException(409, str(fault)) from fault
