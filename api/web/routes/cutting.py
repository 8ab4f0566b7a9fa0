"""What to cut for a plan and how it fits the cloth; sizes that suit a pre-cut or a bed."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, Annotated, Any, Literal

from fastapi import APIRouter, Path, Query
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from api.pattern.plan import Plan
from api.web.middleware.security import DRAWING_POLICY
from api.web.problems import declared
from api.web.routes.common import FabricId, PlanId, WorkspaceHere, need_fabric, need_layout
from api.web.routes.drawings import file_of
from api.web.wire.cutting_answers import CuttingTable, FormsOut, MethodsOut
from api.web.wire.responses import FormOut
from api.web.workspace import EVENTS, Kind, Workspace, read
from placement.cloth.forms import FormKind, form_of, own_sizes
from placement.inches import Units
from placement.top.request import Progress

if TYPE_CHECKING:
    from api.pattern.cut_book import CutBook

router = APIRouter(tags=["cutting"])

Form = Literal["svg", "png"]
_FAT_QUARTER = 20.5
"""Usable width, inches."""
_TEXT: dict[int | str, dict[str, Any]] = {
    200: {"description": "The text.", "content": {"text/plain": {"schema": {"type": "string"}}}}
}
_BOOK: dict[int | str, dict[str, Any]] = {
    200: {
        "description": "Pieces, strip sets, cuts, finishing and pressing.",
        "content": {"application/json": {"schema": {"type": "object"}}},
    }
}
_FOLLOWED: dict[int | str, dict[str, Any]] = {
    200: {
        "content": {
            EVENTS: {
                "schema": {
                    "type": "string",
                    "description": "Events 'progress' with {share, words}, then one 'plan' with "
                    "the table, or one 'problem'. Hanging up stops the work.",
                },
                "example": 'event: progress\ndata: {"share": 0.4, "words": "cutting Rosehip"}\n\n',
            }
        }
    }
}


@router.get("/api/cloth", summary="List the forms of cloth", responses=declared())
def forms() -> list[FormOut]:
    """List the forms of cloth with their nominal and usable sizes."""
    units: tuple[Units, ...] = ("inches", "metric")
    return [
        FormOut.of(form_of(kind, each))
        for each in units
        for kind in FormKind
        if own_sizes(kind, each)
    ]


@router.get(
    "/api/plans/{plan}/cutting",
    summary="What to cut",
    response_class=Response,
    responses={**_BOOK, **declared(404, 409, 422)},
)
async def cutting(request: Request, workspace: WorkspaceHere, plan: PlanId) -> Response:
    """Give every piece, strip set and cut of a plan, its finishing and its pressing."""

    def call(progress: Progress) -> Response:
        from api.pattern.cut_book import book_json

        _, book = _book(workspace, plan, progress)
        return Response(book_json(book), media_type="application/json")

    return await workspace.finish(request, call, Kind.TELL)


@router.get(
    "/api/plans/{plan}/cutting/table",
    summary="What to cut, as the page shows it",
    response_model=CuttingTable,
    responses={**_FOLLOWED, **declared(404, 409, 422)},
)
async def table(request: Request, workspace: WorkspaceHere, plan: PlanId) -> Response:
    """Give the verdict on every fabric, its cuts, the totals and the pressing in words."""

    def call(progress: Progress) -> CuttingTable:
        from api.web.wire.cutting_table import cutting_table

        revision = workspace.store.get(plan).revision
        return cutting_table(*_book(workspace, plan, progress), revision)

    # It is only read: nothing waits for it, and it waits for nothing.
    return await workspace.answer(request, call, asyncio.Lock(), Kind.TELL)


@router.get(
    "/api/plans/{plan}/cutting/forms",
    summary="What other forms of cloth give, side by side",
    responses=declared(404, 409, 422),
)
async def other_forms(request: Request, workspace: WorkspaceHere, plan: PlanId) -> FormsOut:
    """Tell for every form of cloth, laid either way, what one gives and how many it takes."""

    def call(progress: Progress) -> FormsOut:
        from api.web.wire.forms import forms_out

        return forms_out(*_book(workspace, plan, progress))

    return await workspace.finish(request, call, Kind.TELL)


@router.get(
    "/api/plans/{plan}/cutting/methods",
    summary="What each way of making units does, side by side",
    responses=declared(404, 409, 422),
)
async def methods(request: Request, workspace: WorkspaceHere, plan: PlanId) -> MethodsOut:
    """Tell for every way of making the block's units what it takes: the plan is cut again."""

    def call(progress: Progress) -> MethodsOut:
        from api.web.wire.methods import methods_out

        content, book = _book(workspace, plan, progress)
        return methods_out(content, book, progress)

    return await workspace.finish(request, call, Kind.TELL)


@router.get(
    "/api/plans/{plan}/cutting.txt",
    summary="What to cut, as a text to print",
    response_class=Response,
    responses={**_TEXT, **declared(404, 409, 422)},
)
async def cutting_as_text(request: Request, workspace: WorkspaceHere, plan: PlanId) -> Response:
    """Give the cut book in words, with the cautions that belong to it."""

    def call(progress: Progress) -> Response:
        from api.wording.cutting import cutting_text

        content, book = _book(workspace, plan, progress)
        return Response(cutting_text(content, book), media_type="text/plain; charset=utf-8")

    return await workspace.finish(request, call, Kind.TELL)


@router.get(
    "/api/plans/{plan}/cutting/{fabric}.{form}",
    summary="Draw the cuts of a fabric",
    response_class=Response,
    responses={200: file_of("image/svg+xml", "image/png"), **declared(404, 409, 422)},
)
async def draw_cuts(
    request: Request,
    workspace: WorkspaceHere,
    plan: PlanId,
    fabric: FabricId,
    form: Annotated[Form, Path(description="SVG or PNG.")],
    width: Annotated[int, Query(ge=100, le=6000, description="Of a PNG, in pixels.")] = 1600,
    cloth: Annotated[int, Query(ge=0, le=300, description="Which of its cloths, from 0.")] = 0,
) -> Response:
    """Draw one fabric's cloth to scale, with every cut numbered and the waste shown."""
    return await workspace.finish(
        request,
        lambda progress: _drawn(_book(workspace, plan, progress), (fabric, cloth), form, width),
        Kind.TELL,
    )


def _book(workspace: Workspace, plan: str, progress: Progress) -> tuple[Plan, CutBook]:
    from api.pattern.checking import checked_book

    content = need_layout(read(workspace.store.get(plan)))
    if not content.background:
        raise HTTPException(409, "this plan has no background yet; choose one before cutting")
    try:
        return content, checked_book(content, progress)
    except ValueError as fault:
        raise HTTPException(422, str(fault)) from fault


def _drawn(made: tuple[Plan, CutBook], which: tuple[str, int], form: Form, width: int) -> Response:
    from api.drawing.cutting import cutting_drawing, cutting_png, cutting_svg
    from api.wording.cutting import captions

    content, book = made
    fabric, at = which
    swatch = need_fabric(content, fabric)
    cloths = [entry for entry in book.cloths if entry.fabric == fabric]
    if not cloths:
        raise HTTPException(404, f"nothing is cut from {swatch.fabric.name!r}; it is not used")
    if at >= len(cloths):
        name = swatch.fabric.name
        raise HTTPException(404, f"{name!r} has {len(cloths)} cloths; there is no cloth {at}")
    cloth = cloths[at]
    # Numbers on yardage are to be read on a phone as well as those on a fat quarter.
    larger = max(1.0, float(cloth.cloth.form.width) / _FAT_QUARTER)
    metric = content.brief.units == "metric"
    told = captions(content, book, cloth)
    drawing = cutting_drawing(cloth, told, swatch.fabric.reads_as, metric=metric, larger=larger)
    if form == "png":
        return Response(cutting_png(drawing, width), media_type="image/png")
    headers = {"content-security-policy": DRAWING_POLICY}
    return Response(cutting_svg(drawing), 200, headers, "image/svg+xml")
