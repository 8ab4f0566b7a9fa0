"""The designer's decisions and the layout: arranging, swapping, locking."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Body, Path, Query
from starlette.requests import Request
from starlette.responses import Response

from api.pattern.brief import MOST_SEED
from api.pattern.edits import change_brief
from api.pattern.plan import Plan
from api.web.problems import declared
from api.web.routes.common import FOLLOWED, VIEW, Expected, PlanId, WorkspaceHere, need_layout
from api.web.wire.requests import Arranging, BriefChange, PinState, SwapIn
from api.web.wire.responses import Answered, NearOut, SwapOut
from api.web.workspace import Change, Kind, read
from api.wording import history
from placement.top.request import Progress

router = APIRouter(tags=["layout"])

CellIndex = Annotated[int, Path(ge=0, lt=10_000, description="Index of a block.", examples=[0])]


@router.patch(
    "/api/plans/{plan}/brief",
    summary="Change decisions",
    response_model=Answered,
    responses={**FOLLOWED, **declared(404, 412, 422, change=True)},
)
async def change_decisions(
    request: Request,
    workspace: WorkspaceHere,
    plan: PlanId,
    body: BriefChange,
    expected: Expected,
    arrange: Annotated[bool, Query(description="Make a layout even if the plan had none.")] = False,
) -> Response:
    """Change any of the designer's decisions.

    The layout stays when nothing it depends on has changed; otherwise the
    blocks are arranged again, keeping what can be kept.
    """
    changes = body.given()

    def step(plan: Plan, progress: Progress) -> Plan:
        from api.pattern.planner import make, revise

        brief = change_brief(plan.brief, changes)
        if arrange and plan.layout is None:
            return make(brief, progress)
        return revise(plan, brief, progress)

    call = workspace.change(request, plan, expected, Change(step, history.changed(changes)))
    return await workspace.answer(request, call, workspace.lock(plan))


@router.post(
    "/api/plans/{plan}/layout",
    summary="Arrange the blocks",
    response_model=Answered,
    responses={**FOLLOWED, **declared(404, 412, 422, change=True)},
)
async def arrange_blocks(
    request: Request,
    workspace: WorkspaceHere,
    plan: PlanId,
    expected: Expected,
    body: Annotated[Arranging | None, Body()] = None,
) -> Response:
    """Arrange the blocks anew, with the next seed or a given one; locked blocks stay."""
    seed = body.seed if body else None

    def step(plan: Plan, progress: Progress) -> Plan:
        from api.pattern.planner import again

        return again(plan, _next_seed(plan) if seed is None else seed, progress)

    call = workspace.change(request, plan, expected, Change(step, history.ARRANGED))
    return await workspace.answer(request, call, workspace.lock(plan))


@router.post(
    "/api/plans/{plan}/layout/further",
    summary="Look further for a better layout",
    response_model=Answered,
    responses={**FOLLOWED, **declared(404, 409, 412, 422, change=True)},
)
async def look_further(
    request: Request, workspace: WorkspaceHere, plan: PlanId, expected: Expected
) -> Response:
    """Look a second longer how different neighbours can be, and for a layout that keeps more.

    Nothing changes where nothing better is found; a layout changed by hand stays.
    """

    def step(plan: Plan, progress: Progress) -> Plan:
        from api.pattern.planner import further

        return further(need_layout(plan), progress)

    call = workspace.change(request, plan, expected, Change(step, history.LOOKED_FURTHER))
    return await workspace.answer(request, call, workspace.lock(plan))


@router.post(
    "/api/plans/{plan}/layout/swap",
    summary="Swap two blocks",
    response_model=Answered,
    responses={**VIEW, **declared(404, 409, 412, 422, change=True)},
)
async def swap_blocks(
    request: Request, workspace: WorkspaceHere, plan: PlanId, body: SwapIn, expected: Expected
) -> Response:
    """Exchange the fabrics of two blocks by hand."""

    def step(plan: Plan, _progress: Progress) -> Plan:
        from api.pattern.planner import swap

        return swap(need_layout(plan), body.first, body.second)

    call = workspace.change(request, plan, expected, Change(step, history.SWAPPED_BLOCKS))
    return await workspace.answer(request, call, workspace.lock(plan))


@router.put(
    "/api/plans/{plan}/layout/pins/{cell}",
    summary="Lock or unlock a block",
    response_model=Answered,
    responses={**VIEW, **declared(404, 409, 412, 422, change=True)},
)
async def set_pin(
    request: Request,
    workspace: WorkspaceHere,
    plan: PlanId,
    cell: CellIndex,
    body: PinState,
    expected: Expected,
) -> Response:
    """Lock a block with the fabric it has now, so that arranging leaves it; or unlock it."""

    def step(plan: Plan, _progress: Progress) -> Plan:
        from api.pattern.planner import pin

        return pin(need_layout(plan), cell, body.pinned)

    what = history.LOCKED if body.pinned else history.UNLOCKED
    call = workspace.change(request, plan, expected, Change(step, what))
    return await workspace.answer(request, call, workspace.lock(plan))


@router.get(
    "/api/plans/{plan}/layout/swaps",
    summary="Suggest swaps",
    responses=declared(404, 409, 422),
)
async def suggest_swaps(
    request: Request,
    workspace: WorkspaceHere,
    plan: PlanId,
    most: Annotated[int, Query(ge=1, le=50, description="How many to suggest.")] = 5,
) -> list[SwapOut]:
    """List the single swaps that would improve the layout most, best first."""

    def call(_progress: Progress) -> list[SwapOut]:
        from api.pattern.suggestions import gains
        from api.wording.layout import better

        swaps = gains(need_layout(read(workspace.store.get(plan))), most)
        return [
            SwapOut(
                first=swap.first,
                second=swap.second,
                gain=swap.gain,
                closest_after=swap.closest_after,
                sentence=better(swap),
            )
            for swap in swaps
        ]

    return await workspace.finish(request, call, Kind.TELL)


@router.get(
    "/api/plans/{plan}/layout/near",
    summary="List blocks that look alike",
    responses=declared(404, 409, 422),
)
async def near_neighbours(
    request: Request,
    workspace: WorkspaceHere,
    plan: PlanId,
    most: Annotated[int, Query(ge=1, le=500, description="How many pairs to list.")] = 12,
) -> list[NearOut]:
    """List the touching blocks that look most alike, nearest first; one fabric twice before all."""

    def call(_progress: Progress) -> list[NearOut]:
        from api.pattern.lookalikes import near
        from api.wording.layout import lookalike

        content = need_layout(read(workspace.store.get(plan)))
        return [
            NearOut(
                first=pair.first,
                second=pair.second,
                touch=pair.touch.value,
                difference=pair.difference,
                sentence=lookalike(content, pair),
            )
            for pair in near(content, most)
        ]

    return await workspace.finish(request, call, Kind.TELL)


def _next_seed(plan: Plan) -> int:
    """Return the plan's own seed for its first layout, then the one after it."""
    return plan.brief.seed if plan.layout is None else (plan.brief.seed + 1) % (MOST_SEED + 1)
