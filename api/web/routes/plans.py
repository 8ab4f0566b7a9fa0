"""Plans as a whole: begin, show, forget; undo, redo and the list of changes."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from typing import Annotated

from fastapi import APIRouter, Body, Path
from starlette.requests import Request
from starlette.responses import Response

from api.pattern.brief import Brief
from api.pattern.edits import pattern_only
from api.pattern.variants import next_title
from api.storage.kept import Draft, MissingError, Saved
from api.web.problems import declared
from api.web.routes.common import VIEW, Expected, PlanId, WorkspaceHere
from api.web.wire.requests import NewPlan
from api.web.wire.responses import Answered, PlanView, RevisionLine
from api.web.wire.view import WholeView
from api.web.workspace import Kind, Seen, Workspace, draft_of, read, shown, wants_whole
from api.wording import history
from placement.top.request import Progress

router = APIRouter(tags=["plans"])

_making_sample = threading.Lock()


@router.post(
    "/api/plans",
    status_code=201,
    summary="Begin a plan",
    response_model=PlanView,
    responses={
        201: {**VIEW[200], "description": "The new plan."},
        **declared(404, 422, change=True),
    },
)
async def begin_plan(
    request: Request, workspace: WorkspaceHere, body: Annotated[NewPlan | None, Body()] = None
) -> Response:
    """Begin an empty plan, a copy of the sample or of a plan, or another plan's pattern."""
    begun = body or NewPlan()

    def call(_progress: Progress) -> WholeView:
        if begun.copy_of:
            return _seen(workspace, _copy(workspace, begun.copy_of, begun.title))
        draft = _begun(workspace, begun)
        if begun.title:
            draft = _titled(draft, begun.title)
        return _seen(
            workspace, workspace.store.add(draft, like=_relative(workspace, begun.pattern_of))
        )

    return shown(await workspace.finish(request, call), 201)


@router.get(
    "/api/plans/{plan}",
    summary="Show a plan",
    response_model=PlanView,
    responses={**VIEW, **declared(404)},
)
async def show_plan(request: Request, workspace: WorkspaceHere, plan: PlanId) -> Response:
    """Show a plan with everything a page needs."""
    return shown(
        await workspace.finish(
            request, lambda _: _seen(workspace, workspace.store.get(plan)), Kind.SHOW
        )
    )


@router.delete(
    "/api/plans/{plan}",
    status_code=204,
    summary="Forget a plan",
    responses=declared(404, change=True),
)
def forget_plan(workspace: WorkspaceHere, plan: PlanId) -> None:
    """Delete a plan with all its revisions, and the pictures that no other plan uses."""
    workspace.store.delete(plan)
    # What is forgotten must not be seen any more, in no size.
    workspace.cache.clear()


@router.post(
    "/api/plans/{plan}/undo",
    summary="Undo the last change",
    response_model=Answered,
    responses={**VIEW, **declared(404, 409, 412, change=True)},
)
async def undo(
    request: Request, workspace: WorkspaceHere, plan: PlanId, expected: Expected
) -> Response:
    """Step back one change; a restart forgets nothing.

    The last 100 changes are all kept, of those before them every tenth, and of those more than
    1,000 back every hundredth.
    """
    return await _step(request, workspace, plan, lambda: workspace.store.undo(plan, expected))


@router.post(
    "/api/plans/{plan}/redo",
    summary="Redo what was undone",
    response_model=Answered,
    responses={**VIEW, **declared(404, 409, 412, change=True)},
)
async def redo(
    request: Request, workspace: WorkspaceHere, plan: PlanId, expected: Expected
) -> Response:
    """Step forward again. A change after an undo drops what was undone."""
    return await _step(request, workspace, plan, lambda: workspace.store.redo(plan, expected))


@router.get("/api/plans/{plan}/revisions", summary="List a plan's changes", responses=declared(404))
def list_revisions(workspace: WorkspaceHere, plan: PlanId) -> list[RevisionLine]:
    """List the changes of a plan, oldest first; those undone come last."""
    return [
        RevisionLine.model_validate(line, from_attributes=True)
        for line in workspace.store.revisions(plan)
    ]


@router.post(
    "/api/plans/{plan}/revisions/{revision}",
    summary="Go to a state of a plan",
    response_model=Answered,
    responses={**VIEW, **declared(404, 412, 422, change=True)},
)
async def go_to_revision(
    request: Request,
    workspace: WorkspaceHere,
    plan: PlanId,
    revision: Annotated[int, Path(ge=1, lt=2**31, description="Its number.", examples=[1])],
    expected: Expected,
) -> Response:
    """Go to any state in the list of changes, undone ones too. Nothing is dropped by it."""
    return await _step(
        request, workspace, plan, lambda: workspace.store.go(plan, revision, expected)
    )


async def _step(
    request: Request, workspace: WorkspaceHere, plan: str, move: Callable[[], Saved]
) -> Response:
    """Answer a move along the changes as a change is answered."""
    whole = wants_whole(request)

    def call(_progress: Progress) -> Seen:
        before = workspace.store.get(plan)
        saved = move()
        if whole:
            return _seen(workspace, saved)
        return workspace.views.change(before, read(before), saved, read(saved))

    async with workspace.lock(plan):
        return shown(await workspace.finish(request, call))


def _seen(workspace: Workspace, saved: Saved) -> WholeView:
    return workspace.views.whole(saved, read(saved))


def _copy(workspace: Workspace, plan: str, title: str | None) -> Saved:
    """Keep a copy of a plan, with its fabrics, as a variant of it."""
    saved = workspace.store.get(plan)
    taken = [entry.title for entry in workspace.store.family(plan)]
    own = read(saved).brief.title
    draft = Draft(own, saved.body, history.began_as_variant(own))
    return workspace.store.add(_titled(draft, title or next_title(own, taken)), like=plan)


def _begun(workspace: Workspace, body: NewPlan) -> Draft:
    """Return what a new plan begins with."""
    if body.sample:
        return sample_draft()
    if not body.pattern_of:
        return _empty()
    from api.pattern.planner import look

    brief = pattern_only(read(workspace.store.get(_named(workspace, body.pattern_of))).brief)
    return draft_of(look(brief), history.BEGAN_WITH_PATTERN, {})


def _named(workspace: Workspace, plan: str) -> str:
    """Return the id of a plan that is named by its id or by the word of its link."""
    try:
        return workspace.store.linked(plan)
    except MissingError:
        return plan


def _relative(workspace: Workspace, pattern: str | None) -> str | None:
    """Return the plan whose family a pattern tried anew joins; none for one seen by its link."""
    return pattern if pattern and _named(workspace, pattern) == pattern else None


def _empty() -> Draft:
    from api.pattern.planner import look

    return draft_of(look(Brief()), history.BEGAN, {})


def sample_draft() -> Draft:
    """Return the finished sample; it is made once, and others wait while it is."""
    with _making_sample:
        return _sample()


@lru_cache(maxsize=1)
def _sample() -> Draft:
    from api.pattern.planner import make
    from api.photos.sample import sample_brief, sample_photos, take_in_photo

    intakes = [take_in_photo(photo) for photo in sample_photos()]
    pictures = {intake.swatch.picture: intake.picture for intake in intakes}
    return draft_of(make(sample_brief(intakes)), history.BEGAN_WITH_SAMPLE, pictures)


def _titled(draft: Draft, title: str) -> Draft:
    from api.pattern.stored import from_json

    plan = from_json(draft.body)
    named = replace(plan, brief=replace(plan.brief, title=title))
    return draft_of(named, draft.what, draft.pictures)
