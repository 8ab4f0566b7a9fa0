"""What is made in a child process of the press: a plan's text and pictures in, bytes out."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from starlette.exceptions import HTTPException

from api.photos.child import Answer
from api.web.problems import describe

if TYPE_CHECKING:
    from api.drawing.scene import Scene
    from api.pattern.plan import Plan

Pictures = Mapping[str, bytes]


def do(job: str, parts: Sequence[bytes], wish: Mapping[str, Any]) -> Answer:
    """Do a job; what goes wrong is told as a problem."""
    if job == "warm":
        return Answer({})
    make, fault_is = _JOBS[job]
    try:
        plan, pictures = _unpacked(parts, wish)
        return Answer({}, (make(plan, pictures, **wish["how"]),))
    except Exception as error:
        # A value that does not fit is a fault of the request, or of the plan as it stands.
        told = HTTPException(fault_is, str(error)) if type(error) is ValueError else error
        return Answer({"problem": describe(told).model_dump(exclude_none=True)})


def _unpacked(parts: Sequence[bytes], wish: Mapping[str, Any]) -> tuple[Plan, Pictures]:
    from api.pattern.stored import from_json

    text, *pictures = parts
    return from_json(text), dict(zip(wish["pictures"], pictures, strict=True))


def _scene(plan: Plan) -> Scene:
    from api.drawing.quilt import quilt_scene

    return quilt_scene(plan)


def _shown(plan: Plan, _pictures: Pictures) -> bytes:
    """Return what a drawing of the layout depends on, as a hash."""
    return sha256(repr(_scene(plan)).encode()).digest()


def _drawing(plan: Plan, pictures: Pictures, *, view: str, form: str, width: int) -> bytes:
    if form == "svg":
        from api.drawing.svg import svg

        return svg(_scene(plan), pictures, view).encode()
    from api.drawing.png import png

    return png(_scene(plan), pictures, view, width)


def _picks(plan: Plan, pictures: Pictures) -> bytes:
    from api.drawing.contact_sheet import picks_png

    return picks_png(plan, pictures)


def _pdf(plan: Plan, pictures: Pictures, **edition: Any) -> bytes:
    from api.booklet.edition import Edition
    from api.booklet.output.pages import booklet_pdf

    return booklet_pdf(plan, pictures, Edition(**edition))


def _page(plan: Plan, pictures: Pictures, *, trying: str, **edition: Any) -> bytes:
    from api.booklet.edition import Edition
    from api.booklet.output.web import booklet_html

    return booklet_html(plan, pictures, Edition(**edition), trying).encode()


def _sizes(plan: Plan, _pictures: Pictures, *, drop: str, fabrics: int | None) -> bytes:
    from api.web.wire.sizes import for_beds

    shared = fabrics or max(1, len(plan.choice.kept) if plan.choice else 0)
    return for_beds(plan.brief, drop, shared).model_dump_json().encode()


def _what_if(
    plan: Plan, _pictures: Pictures, *, form: str, least: str | None, most: str | None
) -> bytes:
    from api.web.wire.sizes import suiting
    from placement.cloth.forms import FormKind

    return suiting(plan.brief, FormKind(form), least, most).model_dump_json().encode()


_JOBS: Mapping[str, tuple[Callable[..., bytes], int]] = {
    "shown": (_shown, 409),
    "drawing": (_drawing, 422),
    "picks": (_picks, 409),
    "pdf": (_pdf, 409),
    "page": (_page, 409),
    "sizes": (_sizes, 422),
    "what-if": (_what_if, 422),
}
"""Each job, and the status of a value that does not fit."""
