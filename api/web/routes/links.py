"""Looking at a pattern by a link, without being able to change anything."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from api.storage.database import StoreError
from api.storage.kept import Saved
from api.web.middleware.security import DRAWING_POLICY
from api.web.problems import ProblemError, declared, describe
from api.web.routes.booklets import made
from api.web.routes.common import PlanId, Token, WorkspaceHere
from api.web.routes.drawings import file_of
from api.web.wire.responses import LinkOut
from api.web.workspace import Kind, Workspace, read
from api.wording.planfiles import NOTHING_TO_SEE
from placement.top.request import Progress

router = APIRouter(tags=["links"])

_HEADERS = {
    "content-security-policy": DRAWING_POLICY,
    "cache-control": "private, no-cache",
    "x-robots-tag": "noindex",
}
_HTML = "text/html; charset=utf-8"


@router.post(
    "/api/plans/{plan}/link",
    summary="Make a link to look at a plan",
    responses=declared(404, change=True),
)
def make_link(workspace: WorkspaceHere, plan: PlanId) -> LinkOut:
    """Give the address of a page that shows the pattern and changes nothing.

    It stays the same until it is withdrawn, and nobody finds it by trying.
    """
    return LinkOut(address=f"/view/{workspace.store.link(plan)}")


@router.get("/api/plans/{plan}/link", summary="Look up the link of a plan", responses=declared(404))
def read_link(workspace: WorkspaceHere, plan: PlanId) -> LinkOut:
    """Give the address that was made, if it was not withdrawn."""
    token = workspace.store.token(plan)
    return LinkOut(address=f"/view/{token}" if token else "")


@router.delete(
    "/api/plans/{plan}/link",
    status_code=204,
    summary="Withdraw a plan's link",
    responses=declared(404, change=True),
)
def withdraw_link(workspace: WorkspaceHere, plan: PlanId) -> None:
    """Make the address lead nowhere; a new link will have another one."""
    workspace.store.unlink(plan)


@router.get(
    "/view/{token}",
    summary="Look at a pattern",
    response_class=Response,
    responses={200: file_of("text/html"), **declared(404, 409)},
)
async def look_at(request: Request, workspace: WorkspaceHere, token: Token) -> Response:
    """Show the pattern of a link as it stands now, as one web page without scripts.

    A browser gets a page in words when there is nothing to show.
    """
    # Who may only look can't try it with fabrics of her own.
    trying = "" if request.app.state.paired else f"/#pattern={token}"
    try:
        saved = await workspace.finish(
            request, lambda _: workspace.store.get(workspace.store.linked(token)), Kind.SHOW
        )
        pattern = await workspace.press(
            request, lambda progress: _shown(workspace, trying, saved, progress)
        )
        return Response(pattern, 200, _HEADERS, _HTML)
    except (HTTPException, ProblemError, StoreError) as error:
        if "text/html" not in request.headers.get("accept", ""):
            raise
        from api.booklet.output.web import notice

        told = describe(error)
        page = notice(NOTHING_TO_SEE, told.detail)
        return Response(page, told.status, _HEADERS, _HTML)


def _shown(workspace: Workspace, trying: str, saved: Saved, progress: Progress) -> bytes:
    if read(saved).layout is None:
        raise HTTPException(409, "this pattern has no layout yet; its designer is still at work")
    return made(workspace, "page", saved, {"trying": trying}, progress)
