"""The picks changed by hand: what an exchange would do, and doing it."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from api.pattern.plan import Plan
from api.web.problems import declared
from api.web.routes.common import FOLLOWED, Expected, PlanId, WorkspaceHere, need_fabric
from api.web.wire.requests import PickSwap
from api.web.wire.responses import Answered, TryOut
from api.web.workspace import Change, read
from api.wording import history
from placement.top.request import Progress

router = APIRouter(tags=["picks"])


@router.get(
    "/api/plans/{plan}/picks/tries",
    summary="Try left-out fabrics",
    responses=declared(404, 409, 422),
)
async def try_fabrics(
    request: Request,
    workspace: WorkspaceHere,
    plan: PlanId,
    out: Annotated[
        str, Query(max_length=60, description="Id of a chosen fabric.", examples=["moss"])
    ],
) -> list[TryOut]:
    """List what each left-out fabric would do in the place of a chosen one, best first.

    The other chosen ones are taken to stay; a swap may pick among them anew, and
    is never worse than told here.
    """

    def call(_progress: Progress) -> list[TryOut]:
        from api.pattern.exchange import tries
        from api.wording.picks import substitute

        content = read(workspace.store.get(plan))
        need_fabric(content, out)
        try:
            found = tries(content, out)
        except ValueError as fault:
            raise HTTPException(409, str(fault)) from fault
        return [
            TryOut(
                fabric=entry.fabric,
                closest_after=entry.closest_after,
                sentence=substitute(content, entry),
            )
            for entry in found
        ]

    return await workspace.finish(request, call)


@router.post(
    "/api/plans/{plan}/picks/swap",
    summary="Swap a chosen fabric for a left-out one",
    response_model=Answered,
    responses={**FOLLOWED, **declared(404, 412, 422, change=True)},
)
async def swap_picks(
    request: Request, workspace: WorkspaceHere, plan: PlanId, body: PickSwap, expected: Expected
) -> Response:
    """Leave one fabric out and use another in its place, in one change.

    The one gets the mark 'leave out' and the other 'must use'; the rest is picked
    again, so that it is proved as before, unless it is to be kept. Locks, copies and
    families pass on.
    """

    def step(plan: Plan, progress: Progress) -> Plan:
        from api.pattern.exchange import exchanged
        from api.pattern.planner import revise

        return revise(plan, exchanged(plan, body.out, body.into, keep=body.keep), progress)

    call = workspace.change(request, plan, expected, Change(step, history.SWAPPED_PICKS))
    return await workspace.answer(request, call, workspace.lock(plan))
