"""One photo of a whole bundle: what is in it, corrections by hand, and its fabrics."""

from __future__ import annotations

import asyncio
from base64 import b64encode
from typing import TYPE_CHECKING, Annotated, Literal

from fastapi import APIRouter, File, Query, UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from api.pattern.edits import with_swatch
from api.pattern.plan import Plan
from api.photos.bundle import Size, correct, propose, take_in_pieces
from api.photos.intake import spoken_name
from api.web.problems import declared
from api.web.routes.common import VIEW, Expected, PlanId, WorkspaceHere
from api.web.wire.bundle import MOST_PIECES, BundleOut, BundleTaken, Correction, PieceOut
from api.web.wire.responses import Answered
from api.web.workspace import Change, Workspace
from api.wording import history
from api.wording.photos import bundle_warning
from placement.top.request import Progress

if TYPE_CHECKING:
    from palette.bundle.pipeline import Proposal

router = APIRouter(tags=["bundle"])


@router.post(
    "/api/plans/{plan}/bundle",
    summary="Find the fabrics in one photo of a bundle",
    response_model=BundleOut,
    responses={
        200: {"description": "What was found, to be looked at and corrected."},
        **declared(404, 422, change=True),
    },
)
async def find_bundle(
    workspace: WorkspaceHere,
    plan: PlanId,
    photo: Annotated[UploadFile, File(description="A JPEG, PNG or WebP file.")],
    kind: Annotated[
        Literal["spread", "grid", "stack"],
        Query(description="With gaps, edge to edge, or folded one on another."),
    ] = "spread",
    rows: Annotated[int, Query(ge=0, le=MOST_PIECES, description="Of a grid.", examples=[4])] = 0,
    columns: Annotated[
        int, Query(ge=0, le=MOST_PIECES, description="Of a grid.", examples=[5])
    ] = 0,
    count: Annotated[
        int, Query(ge=0, le=MOST_PIECES, description="Of fabrics in a stack.", examples=[12])
    ] = 0,
    card: Annotated[
        bool, Query(description="Whether a white card lies beside them; it is left out.")
    ] = False,
) -> BundleOut:
    """Find each fabric's outline; the plan does not change.

    Only a cleaned copy of the photo is kept with the plan, for corrections and
    for reading the fabrics in the end.
    """
    from palette.bundle.find import Lie

    await asyncio.to_thread(workspace.store.get, plan)
    try:
        lie = Lie(kind, rows, columns, count)
        name = spoken_name(photo.filename or "photo")
        data = await photo.read()
        taken = await asyncio.to_thread(propose, workspace.reader, data, name, lie, card=card)
    except ValueError as problem:
        raise HTTPException(422, str(problem)) from problem
    await asyncio.to_thread(workspace.store.keep, plan, {taken.picture: taken.data})
    return _seen(taken.picture, taken.proposal)


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
    return _seen(body.bundle.picture, proposal)


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
        for intake in intakes:
            brief = with_swatch(brief, intake.swatch, body.role)
        return revise(plan, brief, progress)

    pictures = {intake.swatch.picture: intake.picture for intake in intakes}
    change = Change(step, history.added_from_bundle(len(intakes), body.role), pictures)
    return await workspace.answer(
        request, workspace.change(request, plan, expected, change), workspace.lock(plan)
    )


async def _picture(workspace: Workspace, plan: str, name: str) -> bytes:
    await asyncio.to_thread(workspace.store.get, plan)
    return await asyncio.to_thread(workspace.store.picture, name)


def _seen(picture: str, proposal: Proposal) -> BundleOut:
    found = proposal.found
    return BundleOut(
        picture=picture,
        address=f"/api/swatches/{picture}.jpg",
        kind=found.kind,
        width=found.width,
        height=found.height,
        pieces=[
            PieceOut(
                name=piece.name,
                corners=[list(corner) for corner in piece.quad.corners],
                crop=f"data:image/jpeg;base64,{b64encode(crop).decode()}",
            )
            for piece, crop in zip(found.pieces, proposal.crops, strict=True)
        ],
        warnings=[bundle_warning(found, each) for each in found.warnings],
    )
