"""Sizes that suit: what one pre-cut holds of a block, and the same pattern for every bed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from fastapi import APIRouter, Query
from pydantic import BeforeValidator
from starlette.exceptions import HTTPException
from starlette.requests import Request

from api.pattern.brief import Brief
from api.pattern.sewing import Sewing
from api.web.problems import declared
from api.web.routes.common import PlanId, WorkspaceHere
from api.web.wire.responses import (
    BandOut,
    BedRow,
    BedSizesOut,
    FormOut,
    HoldingOut,
    Size,
    WhatIfOut,
    WhatIfRow,
)
from api.web.workspace import Workspace, read
from api.wording.english import length
from api.wording.lengths import Lengths
from placement.cloth.forms import FormKind, form_of
from placement.inches import Inches, Units
from placement.top.request import Progress

if TYPE_CHECKING:
    from api.pattern.bed_sizes import BedSize
    from placement.cloth.inverse import Holding, WhatIf

router = APIRouter(tags=["cutting"])

SIDES = (1.0, 24.0)
"""Finished blocks that are tried on a pre-cut, inches; none holds a larger one."""
DROPS = (0.0, 40.0)
"""How far a quilt may hang down, inches; no bed is higher."""
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
) -> WhatIfOut:
    """Tell for each finished size how many blocks one piece holds, as sold and squared up.

    The pieces are those of the usual terms of sewing; a plan's own terms are asked of the plan.
    """

    def call(progress: Progress) -> WhatIfOut:
        brief = Brief(block=block, sewing=Sewing().in_units(units), units=units)
        return _suiting(brief, form, least, most, progress)

    return await workspace.finish(request, call)


@router.get(
    "/api/plans/{plan}/what-if",
    summary="Which finished sizes of a plan's block use a form of cloth well",
    responses=declared(404, 422),
)
async def what_if_of_plan(
    request: Request,
    workspace: WorkspaceHere,
    plan: PlanId,
    form: _Form,
    least: _Least = None,
    most: _Most = None,
) -> WhatIfOut:
    """Tell it for the plan's own block, by the terms it is cut and sewn with."""
    brief = read(workspace.store.get(plan)).brief
    return await workspace.finish(
        request, lambda progress: _suiting(brief, form, least, most, progress)
    )


def _suiting(
    brief: Brief, kind: FormKind, least: str | None, most: str | None, progress: Progress
) -> WhatIfOut:
    from placement.cloth.inverse import tried, what_if

    try:
        form = form_of(kind, brief.units)
        pattern = brief.pattern()
        first, last = (
            usual if asked is None else _within(asked, "block", SIDES)
            for asked, usual in zip((least, most), tried(brief.units), strict=True)
        )
        rows = what_if(
            pattern, form, first, last, brief.sewing.terms(brief.units), progress=progress
        )
    except ValueError as fault:
        raise HTTPException(422, str(fault)) from fault
    lengths = Lengths(brief.units)
    told = [_row(row, lengths) for row in rows]
    return WhatIfOut(block=pattern.name, form=FormOut.of(form), rows=told)


@router.get(
    "/api/plans/{plan}/sizes",
    summary="The same pattern for every bed",
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
) -> BedSizesOut:
    """Tell blocks, borders and what to buy for every bed, in the plan's units.

    Every bed is told twice: covered by fewer blocks in wider borders, and by more blocks.
    """
    brief, kept = _pattern(workspace, plan)
    shared = fabrics or max(1, kept)

    def call(_: Progress) -> BedSizesOut:
        from api.pattern.bed_sizes import bed_sizes

        try:
            hangs = _within(drop, "drop", DROPS)
            rows = bed_sizes(brief, float(hangs), shared)
        except ValueError as fault:
            raise HTTPException(422, str(fault)) from fault
        told = length(float(hangs), brief.units)
        return BedSizesOut(drop=told, fabrics=shared, rows=[*map(_bed, rows)])

    return await workspace.finish(request, call)


def _within(text: str, what: str, bounds: tuple[float, float]) -> Inches:
    """Read a length that must lie within bounds, in inches."""
    found = Inches.parse(text)
    least, most = bounds
    if not least <= float(found) <= most:
        raise ValueError(f"a {what} of {text.strip()} is not from {least:g} to {most:g} in")
    return found


def _row(row: WhatIf, lengths: Lengths) -> WhatIfRow:
    return WhatIfRow(
        finished=str(row.finished),
        nominal=_holding(row.nominal, lengths),
        usable=_holding(row.usable, lengths),
        on_ruler=row.on_ruler,
    )


def _holding(holding: Holding, lengths: Lengths) -> HoldingOut:
    from api.wording.sizes import held

    return HoldingOut(
        blocks=holding.blocks,
        spare=str(holding.spare),
        waste=holding.waste,
        whole=holding.whole,
        words=held(holding, lengths),
    )


def _pattern(workspace: Workspace, plan: str) -> tuple[Brief, int]:
    """Return the brief of a plan and how many fabrics it uses."""
    content = read(workspace.store.get(plan))
    return content.brief, len(content.choice.kept) if content.choice else 0


def _bed(row: BedSize) -> BedRow:
    from api.wording.sizes import bed_name, shopping

    units = row.plan.brief.units
    return BedRow(
        bed=row.bed.name,
        way=row.way,
        words=bed_name(row),
        size=Size.of(row.size, units),
        wanted=Size.of(row.wanted, units).words,
        across=row.across,
        down=row.down,
        blocks=row.blocks,
        border=length(float(row.border), units),
        borders=[
            BandOut(width=str(band.width), fabric=band.fabric) for band in row.plan.brief.borders
        ],
        buy=[*shopping(row)],
    )
