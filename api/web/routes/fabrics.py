"""The fabrics of a plan: photos in, names and marks, out again."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, File, Query, UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from api.pattern.brief import Brief
from api.pattern.edits import with_changed_swatch, with_new_photo, with_swatch, without_fabric
from api.pattern.plan import Plan
from api.pattern.swatch import Role, Swatch
from api.photos.intake import Intake, picture_name, take_in_colour, with_offered_names
from api.web.problems import declared
from api.web.routes.common import MADE, VIEW, Expected, FabricId, PlanId, WorkspaceHere, need_fabric
from api.web.routes.photos import (
    AS_FOUND,
    Lighting,
    Upload,
    Width,
    read_photo,
    shared_reference,
    sharing,
)
from api.web.wire.bundle import BundleOut
from api.web.wire.photos import PhotoResult, Uploaded
from api.web.wire.requests import ColourIn, FabricChange
from api.web.wire.responses import Answered
from api.web.workspace import Change, Seen, shown
from api.web.workspace import read as stored
from api.wording import history
from placement.top.request import Progress

router = APIRouter(tags=["fabrics"])

MOST_PHOTOS = 200
"""Photos in one request."""


@router.post(
    "/api/plans/{plan}/fabrics",
    summary="Add fabrics from photos",
    response_model=Uploaded,
    responses={
        200: {"description": "At least one photo was taken in."},
        **declared(404, 412, 422, change=True),
    },
)
async def add_fabrics(
    request: Request,
    workspace: WorkspaceHere,
    plan: PlanId,
    photos: Annotated[
        list[UploadFile], File(max_length=MOST_PHOTOS, description="JPEG, PNG or WebP files.")
    ],
    expected: Expected,
    role: Annotated[Role, Query(description="What the photos show.")] = "fabric",
    spare: Annotated[
        bool, Query(description="Whether they are for borders and backs, left out of the blocks.")
    ] = False,
    shows: Width = None,
    lit: Lighting = AS_FOUND,
) -> Response:
    """Find the cloth in photos and add a fabric for each that shows one.

    A photo that shows several fabrics with gaps between them adds none yet: they are answered to
    be looked at (see bundle). A photo that can't be read is reported and does not stop the
    others. Only cleaned copies are kept: no metadata, no place, at most 2 megapixels of a photo
    of one fabric and 3.9 of several. Photos in a named light without white paper are corrected
    by the paper of another.
    """
    saved = await asyncio.to_thread(workspace.store.get, plan, expected)
    shared = shared_reference(stored(saved).brief, lit.light)
    several = role != "thread" and not lit.one
    read = await asyncio.gather(
        *(read_photo(workspace.reader, p, shows, lit, shared, several=several) for p in photos)
    )
    if lit.light and not shared:
        read = await sharing(workspace.reader, photos, read, shows, lit)
    if all(photo.problem for photo in read):
        raise HTTPException(422, _no_photo(read))
    bundles = {k: v for photo in read if photo.bundle for k, v in photo.pictures().items()}
    await asyncio.to_thread(workspace.store.keep, plan, bundles)
    intakes = [photo.intake for photo in read if photo.intake]
    change = _adding([_spared(intake) for intake in intakes] if spare else intakes, role)
    async with workspace.lock(plan):
        seen = await workspace.finish(request, workspace.change(request, plan, expected, change))
        brief = stored(await asyncio.to_thread(workspace.store.get, plan)).brief
    return _uploaded(read, seen, brief.of_role(role))


@router.post(
    "/api/plans/{plan}/colours",
    status_code=201,
    summary="Add a colour",
    response_model=Answered,
    responses={**MADE, **declared(404, 412, 422, change=True)},
)
async def add_colour(
    request: Request, workspace: WorkspaceHere, plan: PlanId, body: ColourIn, expected: Expected
) -> Response:
    """Add a solid of exactly one colour as a fabric, a candidate background or a thread.

    Its picture is plain cloth of that colour; its name, unless given, says the colour.
    """

    def call(progress: Progress) -> Seen:
        workspace.store.get(plan, expected)
        intake = take_in_colour(body.colour, body.name or "")
        return workspace.change(request, plan, expected, _adding([intake], body.role))(progress)

    async with workspace.lock(plan):
        return shown(await workspace.finish(request, call), 201)


@router.put(
    "/api/plans/{plan}/fabrics/{fabric}/photo",
    summary="Take a fabric's photo again",
    response_model=Answered,
    responses={**VIEW, **declared(404, 412, 422, change=True)},
)
async def retake_photo(
    request: Request,
    workspace: WorkspaceHere,
    plan: PlanId,
    fabric: FabricId,
    photo: Annotated[UploadFile, File(description="A JPEG, PNG or WebP file.")],
    expected: Expected,
    shows: Width = None,
    lit: Lighting = AS_FOUND,
) -> Response:
    """Replace the photo of a fabric, a background or a thread.

    Its name, marks, place and cloth stay; colours, picture and warnings are those
    of the new photo. A photo that can't be read changes nothing.
    """
    before = stored(await asyncio.to_thread(workspace.store.get, plan, expected))
    need_fabric(before, fabric)
    shared = shared_reference(before.brief, lit.light)
    read = await read_photo(workspace.reader, photo, shows, lit, shared)
    if read.intake is None:
        raise HTTPException(422, str(read.problem))
    taken = read.intake.swatch
    change = _change(
        fabric,
        lambda brief: with_new_photo(brief, fabric, taken, shows_given=shows is not None),
        history.RETOOK_PHOTO,
    )
    change = replace(change, pictures=read.pictures())
    return await workspace.answer(
        request, workspace.change(request, plan, expected, change), workspace.lock(plan)
    )


@router.patch(
    "/api/plans/{plan}/fabrics/{fabric}",
    summary="Change a fabric",
    response_model=Answered,
    responses={**VIEW, **declared(404, 412, 422, change=True)},
)
async def change_fabric(
    request: Request,
    workspace: WorkspaceHere,
    plan: PlanId,
    fabric: FabricId,
    body: FabricChange,
    expected: Expected,
) -> Response:
    """Rename a fabric, mark it, or tell how much cloth its photo shows."""
    given = body.given()
    change = _change(
        fabric, lambda brief: with_changed_swatch(brief, fabric, given), history.CHANGED_FABRIC
    )
    return await workspace.answer(
        request, workspace.change(request, plan, expected, change), workspace.lock(plan)
    )


@router.delete(
    "/api/plans/{plan}/fabrics/{fabric}",
    summary="Remove a fabric",
    response_model=Answered,
    responses={**VIEW, **declared(404, 412, 422, change=True)},
)
async def remove_fabric(
    request: Request, workspace: WorkspaceHere, plan: PlanId, fabric: FabricId, expected: Expected
) -> Response:
    """Remove a fabric, a candidate background or a thread, and every mention of it."""
    change = _change(fabric, lambda brief: without_fabric(brief, fabric), history.REMOVED_FABRIC)
    return await workspace.answer(
        request, workspace.change(request, plan, expected, change), workspace.lock(plan)
    )


def _change(fabric: str, edit: Callable[[Brief], Brief], did: str) -> Change:
    """Return the change that edits one fabric of a brief."""

    def step(plan: Plan, progress: Progress) -> Plan:
        from api.pattern.planner import revise

        need_fabric(plan, fabric)
        return revise(plan, edit(plan.brief), progress)

    return Change(step, did)


def _adding(intakes: Sequence[Intake], role: Role) -> Change:
    """Return the change that adds what was taken in."""

    def step(plan: Plan, progress: Progress) -> Plan:
        from api.pattern.planner import revise

        brief = plan.brief
        names = [swatch.fabric.name for swatch in brief.everything()]
        for intake in with_offered_names(intakes, names):
            brief = with_swatch(brief, intake.swatch, role)
        return revise(plan, brief, progress) if intakes else plan

    pictures = {name: data for intake in intakes for name, data in intake.pictures().items()}
    return Change(step, history.added(len(intakes), role), pictures)


def _spared(intake: Intake) -> Intake:
    """Return cloth that no block is made of."""
    return replace(intake, swatch=replace(intake.swatch, leave_out=True))


def _no_photo(photos: Sequence[Upload]) -> str:
    if len(photos) == 1:
        return str(photos[0].problem)
    return f"None of the {len(photos)} photos could be read. The first one: {photos[0].problem}"


def _shown(photo: Upload) -> BundleOut | None:
    if photo.bundle is None or photo.bundle.proposal is None:
        return None
    return BundleOut.of(picture_name(photo.bundle.copy), photo.bundle.proposal)


def _uploaded(photos: Sequence[Upload], seen: Seen, swatches: Sequence[Swatch]) -> Response:
    """Tell for each photo which of the newest fabrics it became."""
    count = sum(photo.intake is not None for photo in photos)
    newest = iter(swatches[len(swatches) - count :])
    results = [
        PhotoResult(
            file=photo.file,
            fabric=next(newest).fabric.id if photo.intake else None,
            problem=photo.problem,
            bundle=_shown(photo),
        ).model_dump_json()
        for photo in photos
    ]
    answer = f'{{"results": [{", ".join(results)}], "plan": {seen.model_dump_json()}}}'
    return Response(answer, 200, {"etag": f'"{seen.revision}"'}, "application/json")
