"""A fabric put right by hand: its corners in the photo, what is paper there, its own colour."""

from __future__ import annotations

import asyncio
from base64 import b64encode
from dataclasses import replace
from typing import TYPE_CHECKING

from fastapi import APIRouter
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from api.pattern.edits import with_new_photo
from api.pattern.plan import Plan
from api.pattern.swatch import Swatch, Taken
from api.photos.arrival import read_again
from api.storage.kept import MissingError
from api.web.problems import declared, sentence
from api.web.routes.common import VIEW, Expected, FabricId, PlanId, WorkspaceHere, need_fabric
from api.web.routes.photos import shared_reference
from api.web.wire.photos import ReadOut, TakenIn
from api.web.wire.responses import Answered
from api.web.workspace import Change, Workspace
from api.web.workspace import read as stored
from api.wording import history
from api.wording.photos import photo_left_out, photo_warning
from palette.colour import to_hex
from placement.top.request import Progress

if TYPE_CHECKING:
    from api.photos.intake import Intake

router = APIRouter(tags=["fabrics"])


@router.post(
    "/api/plans/{plan}/fabrics/{fabric}/reading/look",
    summary="Try reading a fabric anew",
    response_model=ReadOut,
    responses={
        200: {"description": "What it would be; nothing is changed."},
        **declared(404, 422, change=True),
    },
)
async def try_reading(
    workspace: WorkspaceHere, plan: PlanId, fabric: FabricId, body: TakenIn
) -> ReadOut:
    """Read a fabric from the copy of its photo that was kept, and tell what comes of it."""
    intake = await _read(workspace, plan, fabric, body)
    swatch = intake.swatch
    place = swatch.taken.place() if swatch.taken else None
    told = swatch.fabric
    return ReadOut(
        picture=f"data:image/jpeg;base64,{b64encode(intake.picture).decode()}",
        reads_as=to_hex(told.reads_as),
        corners=None if place is None else [list(corner) for corner in place.corners],
        notes=[*map(photo_left_out, told.left_out), *map(photo_warning, told.warnings)],
    )


@router.put(
    "/api/plans/{plan}/fabrics/{fabric}/reading",
    summary="Put a fabric right by hand",
    response_model=Answered,
    responses={**VIEW, **declared(404, 412, 422, change=True)},
)
async def put_reading(
    request: Request,
    workspace: WorkspaceHere,
    plan: PlanId,
    fabric: FabricId,
    body: TakenIn,
    expected: Expected,
) -> Response:
    """Read a fabric anew from the copy of its photo that was kept, as it is told.

    Its name, marks and place stay. An empty body has everything found by itself again. A fabric
    whose photo was not kept is read from its picture.
    """
    intake = await _read(workspace, plan, fabric, body, expected)
    taken = intake.swatch

    def step(plan: Plan, progress: Progress) -> Plan:
        from api.pattern.planner import revise

        need_fabric(plan, fabric)
        brief = with_new_photo(plan.brief, fabric, taken, shows_given=True)
        return revise(plan, brief, progress)

    change = Change(step, history.PUT_RIGHT, intake.pictures())
    return await workspace.answer(
        request, workspace.change(request, plan, expected, change), workspace.lock(plan)
    )


async def _read(
    workspace: Workspace, plan: str, fabric: str, body: TakenIn, expected: int | None = None
) -> Intake:
    saved = stored(await asyncio.to_thread(workspace.store.get, plan, expected))
    swatch = need_fabric(saved, fabric)
    copy, before = await asyncio.to_thread(_photo, workspace, swatch)
    shared = shared_reference(saved.brief, swatch.fabric.light)
    try:
        taken = body.taken(before)
        return await asyncio.to_thread(
            read_again, workspace.reader, copy, replace(swatch, taken=before), taken, shared
        )
    except ValueError as problem:
        raise HTTPException(422, sentence(str(problem))) from problem


def _photo(workspace: Workspace, swatch: Swatch) -> tuple[bytes, Taken]:
    """Return what is kept of a fabric's photo, and how it was taken from that."""
    if swatch.taken:
        try:
            return workspace.store.picture(swatch.taken.photo), swatch.taken
        except MissingError:
            pass
    return workspace.store.picture(swatch.picture), Taken(swatch.picture)
