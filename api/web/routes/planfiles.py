"""A plan as one file: given, and opened again here or elsewhere."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, File, Query, UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from api.storage.kept import Saved
from api.storage.planfile import packed, take_in
from api.web.problems import declared
from api.web.routes.common import VIEW, PlanId, WorkspaceHere
from api.web.routes.drawings import as_file, file_of
from api.web.wire.responses import PlanView
from api.web.wire.view import Views, WholeView
from api.web.workspace import Kind, Workspace, read, shown
from api.wording.planfiles import lacking, shortened
from placement.top.request import Progress, Stage

router = APIRouter(tags=["plans"])


@router.get(
    "/api/plans/{plan}/plan.zip",
    summary="Download a plan with its pictures",
    response_class=Response,
    responses={200: file_of("application/zip"), **declared(404, 422)},
)
async def download_plan_file(
    request: Request,
    workspace: WorkspaceHere,
    plan: PlanId,
    history: Annotated[bool, Query(description="Its changes go along, undone ones too.")] = False,
) -> Response:
    """Give the plan and its pictures as one file, which opens in any copy of this program."""
    return await workspace.finish(
        request, lambda _: _packed(workspace, plan, history=history), Kind.TELL
    )


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

    If its changes are in the file, they can be undone here too. Fabrics whose pictures are
    missing are shown as plain cloth in their colours; the note says so.
    """

    def call(progress: Progress) -> WholeView:
        # Read when its turn has come: files that wait lie on the disk.
        return _opened(workspace, file.file.read(), progress)

    return shown(await workspace.finish(request, call, Kind.TELL), 201)


def _packed(workspace: Workspace, plan: str, *, history: bool) -> Response:
    made = packed(workspace.store, plan, history=history)
    content = read(workspace.store.get(plan))
    headers = {"content-disposition": as_file(content, "zip"), "cache-control": "no-store"}
    return Response(made, 200, headers, "application/zip")


def _opened(workspace: Workspace, data: bytes, progress: Progress) -> WholeView:
    def look() -> None:
        progress(0.0, Stage.SAVE)

    try:
        done = take_in(workspace.store, workspace.reader, data, probe=_try, look=look)
    except ValueError as fault:
        raise HTTPException(422, str(fault)) from fault
    note = " ".join(filter(None, (lacking(done.lacking), shortened(done.left_out))))
    return WholeView({**workspace.views.of(done.saved, done.plan), "note": note})


def _try(body: str) -> None:
    """Show a plan before it is kept: what can't be shown is not taken in."""
    saved = Saved("", 1, body, can_undo=False, can_redo=False)
    try:
        Views().of(saved, read(saved))
    except Exception as fault:
        raise HTTPException(422, "the plan in this file contradicts itself") from fault
