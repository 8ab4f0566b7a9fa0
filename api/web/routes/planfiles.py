"""A plan as one file: given, and opened again here or elsewhere."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, File, UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from api.pattern.plan import Plan
from api.storage.archive import Parcel, in_plain_cloth, pack, unpack
from api.storage.store import MissingError, Saved
from api.web.problems import declared
from api.web.routes.common import VIEW, PlanId, WorkspaceHere
from api.web.routes.drawings import as_file, file_of, stored_pictures
from api.web.wire.responses import PlanView
from api.web.wire.view import Views, WholeView
from api.web.workspace import Kind, Workspace, draft_of, read, shown
from api.wording import history
from api.wording.planfiles import lacking

router = APIRouter(tags=["plans"])


@router.get(
    "/api/plans/{plan}/plan.zip",
    summary="Download a plan with its pictures",
    response_class=Response,
    responses={200: file_of("application/zip"), **declared(404)},
)
async def download_plan_file(request: Request, workspace: WorkspaceHere, plan: PlanId) -> Response:
    """Give the plan and its pictures as one file, which opens in any copy of this program."""
    return await workspace.finish(request, lambda _: _packed(workspace, plan), Kind.TELL)


@router.post(
    "/api/plans/open",
    status_code=201,
    summary="Open a plan's file",
    response_model=PlanView,
    responses={
        201: {**VIEW[200], "description": "The new plan."},
        **declared(422, change=True),
    },
)
async def open_plan(
    request: Request,
    workspace: WorkspaceHere,
    file: Annotated[UploadFile, File(description="A plan.zip or a plan.json.")],
) -> Response:
    """Begin a plan from a file that was downloaded, here or elsewhere.

    Fabrics whose pictures are missing are shown as plain cloth in their
    colours; the note says so.
    """
    # Read when its turn has come: files that wait lie on the disk.
    return shown(
        await workspace.finish(request, lambda _: _opened(workspace, file.file.read()), Kind.TELL),
        201,
    )


def _packed(workspace: Workspace, plan: str) -> Response:
    saved = workspace.store.get(plan)
    content = read(saved)
    headers = {"content-disposition": as_file(content, "zip"), "cache-control": "no-store"}
    made = pack(saved.body, stored_pictures(workspace, content), _photos(workspace, content))
    return Response(made, 200, headers, "application/zip")


def _photos(workspace: Workspace, plan: Plan) -> dict[str, bytes]:
    """Return the copies that are kept of a plan's photos, by name."""
    names = {swatch.taken.photo for swatch in plan.brief.everything() if swatch.taken}
    found = {}
    for name in names:
        with suppress(MissingError):
            found[name] = workspace.store.picture(name)
    return found


def _opened(workspace: Workspace, data: bytes) -> WholeView:
    from api.pattern.stored import from_json

    def vet(text: bytes) -> Plan:
        return from_json(workspace.reader.vet(text))

    def check(data: bytes, name: str, *, photo: bool) -> None:
        workspace.reader.do("check", data, {"name": name, "photo": photo})

    try:
        parcel = _completed(workspace, unpack(data, vet, check))
    except ValueError as fault:
        raise HTTPException(422, str(fault)) from fault
    whole = in_plain_cloth(parcel) if parcel.missing else parcel
    draft = draft_of(whole.plan, history.OPENED, whole.pictures)
    _try(Saved("", 1, draft.body, can_undo=False, can_redo=False))
    saved = workspace.store.add(draft)
    return WholeView(
        {**workspace.views.of(saved, whole.plan), "note": lacking(len(parcel.missing))}
    )


def _completed(workspace: Workspace, parcel: Parcel) -> Parcel:
    """Take pictures that a file lacks from the store, if they happen to be there."""
    found = {}
    for name in parcel.missing:
        try:
            found[name] = workspace.store.picture(name)
        except MissingError:
            continue
    pictures = {**parcel.pictures, **found}
    return replace(parcel, pictures=pictures, missing=parcel.missing - found.keys())


def _try(saved: Saved) -> None:
    """Show a plan before it is kept: what can't be shown is not taken in."""
    try:
        Views().of(saved, read(saved))
    except Exception as fault:
        raise HTTPException(422, "the plan in this file contradicts itself") from fault
