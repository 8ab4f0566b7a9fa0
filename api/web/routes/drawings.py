"""Pictures and files of a plan: drawings, its JSON form, the swatches."""

from __future__ import annotations

import re
from collections.abc import Hashable, Mapping
from dataclasses import dataclass
from hashlib import sha256
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Header, Path, Query
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from api.files import program_version
from api.pattern.edits import new_id
from api.pattern.plan import Plan
from api.pattern.stored import StoredPlan
from api.storage.kept import Saved
from api.web.middleware.security import DRAWING_POLICY
from api.web.press import Job
from api.web.problems import declared
from api.web.routes.common import PlanId, WorkspaceHere, need_layout
from api.web.workspace import Kind, Workspace, read
from placement.top.request import Progress

router = APIRouter(tags=["drawings"])

ViewName = Literal["cloth", "flat", "grey", "protan", "deutan", "tritan", "picks"]
Form = Literal["svg", "png"]

_TYPES = {"svg": "image/svg+xml", "png": "image/png"}
_KEEP = "private, max-age=31536000, immutable"
_NOT_MODIFIED: dict[int | str, dict[str, Any]] = {
    304: {"description": "The copy the client has is still right."}
}


@dataclass(frozen=True, slots=True)
class _Rendering:
    """Which drawing is wanted."""

    view: ViewName
    """What it shows."""
    form: Form
    """SVG or PNG."""
    width: int
    """Of a PNG, in pixels."""
    download: bool
    """Whether it is to be kept as a file."""
    has: str
    """The ETags of what the client has."""

    @property
    def how(self) -> dict[str, Any]:
        """What a job is told of it."""
        return {"view": self.view, "form": self.form, "width": self.width}

    @property
    def form_key(self) -> tuple[Hashable, ...]:
        """What it depends on besides the plan."""
        return self.view, self.form, self.width if self.form == "png" else 0

    def key(self, saved: Saved) -> tuple[Hashable, ...]:
        """Return what it depends on: equal plans have equal drawings, whatever their ids."""
        return sha256(saved.body.encode()).hexdigest()[:32], *self.form_key

    def tag(self, saved: Saved) -> str:
        """Return its ETag."""
        return f'"{program_version()}-{"-".join(map(str, self.key(saved)))}"'


def file_of(*types: str) -> dict[str, Any]:
    """Describe an answer that is a file of one of some types."""
    text = {"type": "string", "contentMediaType": "application/octet-stream"}
    return {"description": "The file.", "content": {kind: {"schema": text} for kind in types}}


@router.get(
    "/api/plans/{plan}/drawings/{view}.{form}",
    summary="Draw a plan",
    response_class=Response,
    responses={200: file_of(*_TYPES.values()), **_NOT_MODIFIED, **declared(404, 409, 422)},
)
async def draw(
    request: Request,
    workspace: WorkspaceHere,
    plan: PlanId,
    view: Annotated[
        ViewName,
        Path(description="Photos, flat colours, greys, as colour-blind eyes see it, or the picks."),
    ],
    form: Annotated[Form, Path(description="The picks are a PNG only.")],
    width: Annotated[int, Query(ge=100, le=6000, description="Of a PNG, in pixels.")] = 2000,
    download: Annotated[bool, Query(description="Offer it as a file to keep.")] = False,
    revision: Annotated[  # noqa: ARG001  (part of the address alone)
        int | None,
        Query(description="Changes nothing: with it the address is another for another state."),
    ] = None,
    if_none_match: Annotated[str | None, Header(description="The ETag of a copy.")] = None,
) -> Response:
    """Draw the layout, or the contact sheet of the fabrics with the reasons for each choice."""
    if view == "picks" and form == "svg":
        raise HTTPException(404, "the picks come as picks.png only")
    rendering = _Rendering(view, form, width, download, if_none_match or "")
    saved = await workspace.finish(request, lambda _: workspace.store.get(plan), Kind.SHOW)
    known = await workspace.finish(
        request, lambda _: _at_hand(workspace, saved, rendering), Kind.SHOW
    )
    if known:
        return known
    drawing = await workspace.press(
        request, lambda progress: _drawn(workspace, saved, rendering, progress)
    )
    return _answer(saved, rendering, drawing)


@router.get(
    "/api/plans/{plan}/plan.json",
    summary="Download a plan",
    response_model=StoredPlan,
    responses={200: {"description": "The plan, as a file to keep."}, **declared(404)},
)
def download_plan(workspace: WorkspaceHere, plan: PlanId) -> Response:
    """Give the plan's JSON form, from which it can be made again."""
    saved = workspace.store.get(plan)
    headers = {"content-disposition": as_file(read(saved), "json"), "cache-control": "no-store"}
    return Response(saved.body, 200, headers, "application/json")


@router.get(
    "/api/swatches/{picture}.jpg",
    summary="Show a fabric's picture",
    response_class=Response,
    responses={200: file_of("image/jpeg"), **declared(404, 422)},
)
def swatch(
    workspace: WorkspaceHere,
    picture: Annotated[str, Path(description="SHA-256 of the picture, in hex.")],
    width: Annotated[
        Literal["120", "240", "480", "960"] | None,
        Query(description="Pixels across at most; as it is kept unless given."),
    ] = None,
    even: Annotated[
        bool, Query(description="Cloth to draw with: without its rim, and evenly lit.")
    ] = False,
) -> Response:
    """Give the cleaned picture of a fabric. What lies under a name never changes."""
    if not re.fullmatch(r"[0-9a-f]{64}", picture):
        raise HTTPException(404, "a picture's name is 64 hexadecimal digits")
    if even or width:
        data = _made_smaller(workspace, picture, int(width or 960), even=even)
    else:
        data = workspace.store.picture(picture)
    return Response(data, 200, {"cache-control": _KEEP}, "image/jpeg")


def _made_smaller(workspace: Workspace, picture: str, width: int, *, even: bool) -> bytes:
    def make() -> bytes:
        from api.drawing.thumbnail import thumb, tile

        return (tile if even else thumb)(workspace.store.picture(picture), width)

    return workspace.cache.get((picture, width, even), make)


def _at_hand(workspace: Workspace, saved: Saved, rendering: _Rendering) -> Response | None:
    """Answer with a drawing that was made before, if it is known without making anything."""
    if rendering.tag(saved) in rendering.has:
        return Response(status_code=304, headers=_headers(rendering, saved))
    shown = workspace.cache.look(("shown", *rendering.key(saved)))
    drawing = workspace.cache.look((shown, *rendering.form_key)) if shown else None
    return _answer(saved, rendering, drawing) if drawing else None


def _answer(saved: Saved, rendering: _Rendering, drawing: bytes) -> Response:
    headers = _headers(rendering, saved)
    if rendering.download:
        ending = f"{rendering.view}.{rendering.form}"
        headers["content-disposition"] = as_file(read(saved), ending)
    if rendering.form == "svg":
        headers["content-security-policy"] = DRAWING_POLICY
    return Response(drawing, 200, headers, _TYPES[rendering.form])


def _headers(rendering: _Rendering, saved: Saved) -> dict[str, str]:
    return {"etag": rendering.tag(saved), "cache-control": "private, no-cache"}


def _drawn(workspace: Workspace, saved: Saved, rendering: _Rendering, progress: Progress) -> bytes:
    """Make a drawing.

    The layout's drawings depend on what they show alone: a change of what they do not show
    leaves them as they are. The picks have words of all kinds, so they go by the whole plan.
    """
    plan = read(saved)
    key = rendering.key(saved)
    if rendering.view == "picks":
        shown = sha256(saved.body.encode()).digest()
        job = job_of(workspace, "picks", saved)
    else:
        need_layout(plan)
        bare = Job("shown", [saved.body.encode()], {"pictures": [], "how": {}})
        shown = workspace.made(bare, progress)
        job = job_of(workspace, "drawing", saved, rendering.how)
    workspace.cache.get(("shown", *key), lambda: shown)
    return workspace.cache.get(
        (shown, *rendering.form_key), lambda: workspace.pressed(job, progress)
    )


def job_of(
    workspace: Workspace, name: str, saved: Saved, how: Mapping[str, Any] | None = None
) -> Job:
    """Return a job with a kept plan and its pictures."""
    pictures = stored_pictures(workspace, read(saved))
    wish = {"pictures": [*pictures], "how": how or {}}
    return Job(name, [saved.body.encode(), *pictures.values()], wish)


def stored_pictures(workspace: Workspace, plan: Plan) -> dict[str, bytes]:
    """Return all pictures of a plan by name."""
    return {name: workspace.store.picture(name) for name in picture_names(plan)}


def picture_names(plan: Plan) -> set[str]:
    """Return the names of all pictures of a plan."""
    return {swatch.picture for swatch in plan.brief.everything()}


def as_file(plan: Plan, ending: str) -> str:
    """Name the file after the plan, in letters that every system takes (RFC 6266)."""
    return f'attachment; filename="{new_id(plan.brief.title, ())}.{ending}"'
