"""The printed pattern of a plan: a PDF, and the same as a web page to look at."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, replace
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Query
from starlette.requests import Request
from starlette.responses import Response

from api.booklet.edition import Edition, Ink, Paper
from api.storage.kept import Saved
from api.web.middleware.security import DRAWING_POLICY
from api.web.problems import declared
from api.web.routes.common import PlanId, WorkspaceHere, need_layout
from api.web.routes.drawings import as_file, file_of, job_of
from api.web.workspace import Kind, Workspace, read
from placement.top.request import Progress

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
    large: Annotated[bool, Query(description="Large print: type of 14 points.")] = False,
) -> Edition:
    """Read the designer's own words and the ink from the query."""
    return Edition(title, designer, introduction, notes, ink=ink, large=large)


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
    saved = await workspace.finish(request, lambda _: workspace.store.get(plan), Kind.SHOW)
    document = await workspace.press(
        request, lambda progress: made(workspace, "pdf", saved, _words(wanted), progress)
    )
    headers = {
        "content-disposition": as_file(read(saved), "pdf"),
        "cache-control": "private, no-cache",
    }
    return Response(document, 200, headers, "application/pdf")


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
    saved = await workspace.finish(request, lambda _: workspace.store.get(plan), Kind.SHOW)
    how = _words(edition) | {"trying": f"/#pattern={plan}"}
    document = await workspace.press(
        request, lambda progress: made(workspace, "page", saved, how, progress)
    )
    headers = {"content-security-policy": DRAWING_POLICY, "cache-control": "private, no-cache"}
    return Response(document, 200, headers, "text/html; charset=utf-8")


def _words(edition: Edition) -> dict[str, Any]:
    """Return what the query told of an edition, as JSON has it."""
    told = asdict(edition)
    return {name: told[name] for name in told if name not in ("photos", "drop")}


def made(
    workspace: Workspace, name: str, saved: Saved, how: Mapping[str, Any], progress: Progress
) -> bytes:
    """Make a booklet; what stands in the way is a conflict with the plan as it is."""
    need_layout(read(saved))
    return workspace.pressed(job_of(workspace, name, saved, how), progress)
