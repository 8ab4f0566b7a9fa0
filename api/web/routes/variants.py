"""A plan beside its variants."""

from __future__ import annotations

from fastapi import APIRouter

from api.pattern.variants import near_pairs
from api.storage.database import StoreError
from api.storage.kept import Entry
from api.web.problems import declared, sentence
from api.web.routes.common import PlanId, WorkspaceHere
from api.web.wire.responses import PlanLine, VariantLine
from api.web.workspace import Workspace, read
from api.wording.english import by
from api.wording.planfiles import UNREADABLE
from api.wording.variants import facts

router = APIRouter(tags=["plans"])

SMALL = 480
"""Width of a small drawing, in pixels."""


@router.get(
    "/api/plans/{plan}/variants",
    summary="Compare a plan with its variants",
    responses=declared(404),
)
def list_variants(workspace: WorkspaceHere, plan: PlanId) -> list[VariantLine]:
    """List a plan and all variants made of it, or it was made of, oldest first, with figures."""
    lines = [_line(workspace, entry) for entry in workspace.store.family(plan)]
    return [
        _variant_line(workspace, line, plan)
        for line in lines
        if not line.problem or line.id == plan
    ]


@router.get("/api/plans", summary="List the plans", responses=declared())
def list_plans(workspace: WorkspaceHere) -> list[PlanLine]:
    """List all plans, the last changed first. Variants of one plan share its family."""
    return [_line(workspace, entry) for entry in workspace.store.plans()]


def _line(workspace: Workspace, entry: Entry) -> PlanLine:
    """Tell of a plan; one that can't be read hides none of the others."""
    try:
        picture, problem = (_picture(entry) if _has_layout(workspace, entry) else ""), ""
    except StoreError as fault:
        picture, problem = "", sentence(str(fault))
    return PlanLine(
        id=entry.id,
        title=entry.title or UNREADABLE,
        revision=entry.revision,
        saved_at=entry.saved_at,
        family=entry.family,
        picture=picture,
        problem=problem,
    )


def _variant_line(workspace: Workspace, line: PlanLine, here: str) -> VariantLine:
    plan = read(workspace.store.get(line.id))
    near = near_pairs(plan)
    return VariantLine(
        **line.model_dump(),
        current=line.id == here,
        size=by(plan.brief.size(), plan.brief.units),
        fabrics=len(plan.choice.kept) if plan.choice else 0,
        background=plan.swatch(plan.background).fabric.name if plan.background else "",
        closest=plan.quality.closest if plan.quality else None,
        reach=plan.quality.reach if plan.quality else None,
        copies_apart=plan.quality.copies_apart if plan.quality else None,
        near=near,
        facts=[*facts(plan, near)],
    )


def _picture(entry: Entry) -> str:
    # A revision never changes, so an address that names it is right as long as it is used.
    return f"/api/plans/{entry.id}/drawings/cloth.png?width={SMALL}&revision={entry.revision}"


def _has_layout(workspace: Workspace, entry: Entry) -> bool:
    """Tell whether a plan has a layout; known without reading it once it was asked."""

    def look() -> bytes:
        return b"1" if read(workspace.store.get(entry.id)).layout else b"0"

    return workspace.cache.get((entry.id, entry.revision, "layout"), look) == b"1"
