"""A photo of several fabrics: looking at it anew, corrections by hand, and its fabrics."""

from __future__ import annotations

import asyncio

from fastapi import APIRouter
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from api.pattern.edits import with_swatch, without_fabric
from api.pattern.plan import Plan
from api.photos.bundle import Size, correct, look, take_in_pieces
from api.photos.intake import with_offered_names
from api.web.problems import declared
from api.web.routes.common import VIEW, Expected, PlanId, WorkspaceHere, need_fabric
from api.web.wire.bundle import BundleOut, BundleTaken, Correction, Looking
from api.web.wire.responses import Answered
from api.web.workspace import Change, Workspace
from api.wording import history
from placement.top.request import Progress

router = APIRouter(tags=["bundle"])


@router.post(
    "/api/plans/{plan}/bundle/look",
    summary="Find the fabrics in a photo in another way",
    response_model=BundleOut,
    responses={
        200: {"description": "What was found, to be looked at and corrected."},
        **declared(404, 422, change=True),
    },
)
async def look_at_bundle(workspace: WorkspaceHere, plan: PlanId, body: Looking) -> BundleOut:
    """Take apart a photo that was sent, as the fabrics are told to lie; the plan does not change.

    For photos in which fabrics lie edge to edge or in a stack, which are taken for one fabric.
    """
    data = await _picture(workspace, plan, body.picture)
    try:
        proposal = await asyncio.to_thread(look, workspace.reader, data, body.lie.value())
    except ValueError as problem:
        raise HTTPException(422, str(problem)) from problem
    return BundleOut.of(body.picture, proposal)


@router.post(
    "/api/plans/{plan}/bundle/correct",
    summary="Correct what was found in a bundle",
    response_model=BundleOut,
    responses={
        200: {"description": "The pieces after the correction."},
        **declared(404, 422, change=True),
    },
)
async def correct_bundle(workspace: WorkspaceHere, plan: PlanId, body: Correction) -> BundleOut:
    """Move a corner, split, join, remove or add a piece, or divide the bundle anew.

    Nothing is kept: the answer holds the pieces to go on with.
    """
    data = await _picture(workspace, plan, body.bundle.picture)
    try:
        did = body.change.model_dump(mode="json")
        found = body.bundle.found()
        proposal = await asyncio.to_thread(
            correct, workspace.reader, data, found, did.pop("do"), did
        )
    except ValueError as problem:
        raise HTTPException(422, str(problem)) from problem
    return BundleOut.of(body.bundle.picture, proposal)


@router.post(
    "/api/plans/{plan}/bundle/accept",
    summary="Add the fabrics of a bundle",
    response_model=Answered,
    responses={**VIEW, **declared(404, 412, 422, change=True)},
)
async def accept_bundle(
    request: Request, workspace: WorkspaceHere, plan: PlanId, body: BundleTaken, expected: Expected
) -> Response:
    """Read every piece and add a fabric for each, in one change of the plan."""
    await asyncio.to_thread(workspace.store.get, plan, expected)
    data = await _picture(workspace, plan, body.bundle.picture)
    if not body.bundle.pieces:
        raise HTTPException(422, "there is no piece to add; tap the fabrics in the photo first")
    size = Size(body.edge, body.ruler.value() if body.ruler else None)
    try:
        found = body.bundle.found()
        intakes = await asyncio.to_thread(
            take_in_pieces, workspace.reader, data, found, size, body.white
        )
    except ValueError as problem:
        raise HTTPException(422, str(problem)) from problem

    def step(plan: Plan, progress: Progress) -> Plan:
        from api.pattern.planner import revise

        brief = plan.brief
        if body.instead is not None:
            need_fabric(plan, body.instead)
            brief = without_fabric(brief, body.instead)
        names = [swatch.fabric.name for swatch in brief.everything()]
        for intake in with_offered_names(intakes, names):
            brief = with_swatch(brief, intake.swatch, body.role)
        return revise(plan, brief, progress)

    pictures = {name: data for each in intakes for name, data in each.pictures().items()}
    change = Change(step, history.added_from_bundle(len(intakes), body.role), pictures)
    return await workspace.answer(
        request, workspace.change(request, plan, expected, change), workspace.lock(plan)
    )


async def _picture(workspace: Workspace, plan: str, name: str) -> bytes:
    await asyncio.to_thread(workspace.store.get, plan)
    return await asyncio.to_thread(workspace.store.picture, name)
