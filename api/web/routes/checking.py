"""What the judges say of a plan, of what is cut for it and of what is printed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fastapi import APIRouter
from starlette.exceptions import HTTPException
from starlette.requests import Request

from api.web.problems import declared
from api.web.routes.common import PlanId, WorkspaceHere, need_layout
from api.web.routes.drawings import stored_pictures
from api.web.wire.responses import CheckOut, FaultOut
from api.web.workspace import Kind, read

if TYPE_CHECKING:
    from placement.top.request import Progress

router = APIRouter(tags=["cutting"])


@router.get(
    "/api/plans/{plan}/check",
    summary="Check a plan",
    responses=declared(404, 409, 422),
)
async def check(request: Request, workspace: WorkspaceHere, plan: PlanId) -> CheckOut:
    """Let judges look at layout, cutting, finishing, pressing and print; give every fault."""

    def call(progress: Progress) -> CheckOut:
        from api.booklet.checking import judged
        from api.wording.faults import sentence, verdict

        content = need_layout(read(workspace.store.get(plan)))
        try:
            found = judged(content, progress, stored_pictures(workspace, content))
        except ValueError as fault:
            raise HTTPException(422, str(fault)) from fault
        faults = [
            FaultOut(kind=fault.kind, words=sentence(content, fault)) for fault in found.faults
        ]
        words = faults[0].words if faults else verdict(found.book)
        return CheckOut(sound=not faults, words=words, faults=faults)

    return await workspace.finish(request, call, Kind.TELL)
