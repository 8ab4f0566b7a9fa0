"""Sizes that suit: what one pre-cut holds of a block, and the same pattern for every bed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Annotated, Any

from fastapi import APIRouter, Query
from pydantic import BeforeValidator
from starlette.requests import Request
from starlette.responses import Response

from api.pattern.brief import Brief
from api.pattern.plan import Plan
from api.pattern.sewing import Sewing
from api.web.press import Job
from api.web.problems import declared
from api.web.routes.common import PlanId, WorkspaceHere
from api.web.wire.size_answers import BedSizesOut, WhatIfOut
from api.web.workspace import Workspace
from placement.cloth.forms import FormKind
from placement.inches import Units

router = APIRouter(tags=["cutting"])

MOST_SHARED = 300
"""Fabrics that share the blocks of a bed's quilt."""

_Size = Annotated[str, Query(max_length=20, examples=["8 1/2"])]
_Form = Annotated[
    FormKind,
    BeforeValidator(FormKind),
    Query(description="A form of cloth (see /api/cloth)."),
]
_Least = Annotated[
    str | None,
    Query(max_length=20, description="Smallest finished block; 4 in, or 10 cm in metric work."),
]
_Most = Annotated[
    str | None,
    Query(max_length=20, description="Largest finished block; 12 in, or 30 cm in metric work."),
]


@router.get(
    "/api/what-if",
    summary="Which finished sizes use a form of cloth well",
    response_model=WhatIfOut,
    responses=declared(422),
)
async def what_if(
    request: Request,
    workspace: WorkspaceHere,
    form: _Form,
    block: Annotated[str, Query(max_length=60, description="A block's short name.")],
    least: _Least = None,
    most: _Most = None,
    units: Annotated[Units, Query(description="Units of the usual terms of sewing.")] = "inches",
) -> Response:
    """Tell for each finished size how many blocks one piece holds, as sold and squared up.

    The pieces are those of the usual terms of sewing; a plan's own terms are asked of the plan.
    """
    from api.pattern.stored import to_json

    def load() -> Job:
        brief = Brief(block=block, sewing=Sewing().in_units(units), units=units)
        how = {"form": form, "least": least, "most": most}
        return Job(
            "what-if",
            [to_json(Plan(brief, "", (), None, None, None)).encode()],
            {"pictures": [], "how": how},
        )

    return await _told(request, workspace, load)


@router.get(
    "/api/plans/{plan}/what-if",
    summary="Which finished sizes of a plan's block use a form of cloth well",
    response_model=WhatIfOut,
    responses=declared(404, 422),
)
async def what_if_of_plan(
    request: Request,
    workspace: WorkspaceHere,
    plan: PlanId,
    form: _Form,
    least: _Least = None,
    most: _Most = None,
) -> Response:
    """Tell it for the plan's own block, by the terms it is cut and sewn with."""
    how = {"form": form, "least": least, "most": most}
    return await _told(request, workspace, lambda: _of_plan(workspace, plan, "what-if", how))


@router.get(
    "/api/plans/{plan}/sizes",
    summary="The same pattern for every bed",
    response_model=BedSizesOut,
    responses=declared(404, 422),
)
async def bed_sizes(
    request: Request,
    workspace: WorkspaceHere,
    plan: PlanId,
    drop: Annotated[_Size, Query(description="How far the quilt hangs down.")] = "12",
    fabrics: Annotated[
        int | None, Query(ge=1, le=MOST_SHARED, description="Without it: as many as are used.")
    ] = None,
) -> Response:
    """Tell blocks, borders and what to buy for every bed, in the plan's units.

    Every bed is told twice: covered by fewer blocks in wider borders, and by more blocks.
    """
    how = {"drop": drop, "fabrics": fabrics}
    return await _told(request, workspace, lambda: _of_plan(workspace, plan, "sizes", how))


def _of_plan(workspace: Workspace, plan: str, name: str, how: Mapping[str, Any]) -> Job:
    body = workspace.store.get(plan).body
    return Job(name, [body.encode()], {"pictures": [], "how": how})


async def _told(request: Request, workspace: Workspace, load: Callable[[], Job]) -> Response:
    """Answer with what a job tells."""
    told = await workspace.press(request, lambda progress: workspace.made(load(), progress))
    return Response(told, 200, None, "application/json")
