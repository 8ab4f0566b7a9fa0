"""The fabrics of a plan: photos in, names and marks, out again."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated, Literal

from fastapi import APIRouter, Depends, File, Query, UploadFile
from fastapi.exceptions import RequestValidationError
from pydantic import TypeAdapter, ValidationError
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from api.answers import PhotoResult, PlanView, Uploaded
from api.desk import Change
from api.desk import read as stored
from api.edits import with_changed_swatch, with_swatch, without_fabric
from api.intake import Intake, spoken_name, take_in
from api.jobs import place
from api.plan import Brief, Plan
from api.problems import declared, sentence
from api.reader import Reader
from api.routes.common import VIEW, DeskHere, Expected, FabricId, PlanId, need_fabric
from api.schemas import FabricChange, Length
from palette.reference import Reference
from placement.inches import Inches
from placement.top.request import Progress

router = APIRouter(tags=["fabrics"])

MOST_PHOTOS = 200
"""Photos in one request."""
_LONGEST_FILE_NAME = 200


@dataclass(frozen=True, slots=True)
class _Photo:
    """One photo of an upload and what became of it."""

    file: str
    """The name it was sent under."""
    intake: Intake | None = None
    """What was read."""
    problem: str | None = None
    """Why nothing was."""


def _width(
    shows: Annotated[
        str | None,
        Query(
            description="Width of cloth in each photo; 10 inches unless given.",
            examples=["10", "250 mm"],
        ),
    ] = None,
) -> Inches | None:
    """Read the query's length."""
    try:
        return _length().validate_python(shows)
    except ValidationError as fault:
        where = ("query", "shows")
        raise RequestValidationError([{**f, "loc": where} for f in fault.errors()]) from None


@dataclass(frozen=True, slots=True)
class _Lit:
    """How photos of an upload were lit."""

    white: str = "auto"
    """What corrects them, as api.jobs.place reads it."""
    light: str = ""
    """Names the light they share."""
    even: bool = True
    """Whether light that falls off is evened."""


_AS_FOUND = _Lit()


def _lighting(
    white: Annotated[
        str,
        Query(
            max_length=80,
            description="What colours are corrected by: 'auto' looks for white paper, 'none' "
            "leaves them, and 'left,top,right,bottom' (or 'x,y'), parts of each photo from 0 to "
            "1, tells where the paper lies.",
            examples=["auto", "0.05,0.8,0.2,0.95"],
        ),
    ] = "auto",
    light: Annotated[
        str,
        Query(
            max_length=60,
            description="Names the light; photos of one name were taken in the same light with "
            "the same settings, so paper in one serves all. Empty if unknown.",
            examples=["kitchen window"],
        ),
    ] = "",
    even: Annotated[
        bool,
        Query(description="Whether light that falls off across a photo is evened; not for ombre."),
    ] = True,
) -> _Lit:
    """Read what the query tells about the light."""
    try:
        place(white)
    except ValueError as fault:
        raise RequestValidationError(
            [{"type": "value_error", "loc": ("query", "white"), "msg": str(fault), "input": white}]
        ) from None
    return _Lit(white, light.strip(), even)


def _shared(brief: Brief, light: str) -> Reference | None:
    """Return the reference of a fabric that was photographed in a light of that name."""
    known = (
        swatch.reference
        for swatch in (*brief.swatches, *brief.backgrounds)
        if light and swatch.fabric.light == light
    )
    return next((reference for reference in known if reference), None)


async def _sharing(
    reader: Reader,
    photos: Sequence[UploadFile],
    read: Sequence[_Photo],
    shows: Inches | None,
    lit: _Lit,
) -> list[_Photo]:
    """Read photos without paper again, by the paper of another one in the same light."""
    found = (photo.intake.swatch.reference for photo in read if photo.intake)
    shared = next((reference for reference in found if reference), None)
    again = list(read)
    for index, photo in enumerate(read):
        if shared and photo.intake and photo.intake.swatch.reference is None:
            await photos[index].seek(0)
            again[index] = await _take_in(reader, photos[index], shows, lit, shared)
    return again


@lru_cache(maxsize=1)
def _length() -> TypeAdapter[Inches | None]:
    return TypeAdapter(Length | None)


@router.post(
    "/api/plans/{plan}/fabrics",
    summary="Add fabrics from photos",
    response_model=Uploaded,
    responses={
        200: {"description": "At least one photo was read."},
        **declared(404, 412, 422, change=True),
    },
)
async def add_fabrics(
    request: Request,
    desk: DeskHere,
    plan: PlanId,
    photos: Annotated[
        list[UploadFile], File(max_length=MOST_PHOTOS, description="JPEG, PNG or WebP files.")
    ],
    expected: Expected,
    role: Annotated[
        Literal["fabric", "background"], Query(description="What the photos show.")
    ] = "fabric",
    shows: Annotated[Inches | None, Depends(_width)] = None,
    lit: Annotated[_Lit, Depends(_lighting)] = _AS_FOUND,
) -> Response:
    """Read photos and add a fabric for each.

    A photo that can't be read is reported and does not stop the others. Only a
    cleaned copy is kept: no metadata, no place, at most 1024 pixels. Photos in
    a named light without white paper are corrected by the paper of another.
    """
    saved = await asyncio.to_thread(desk.store.get, plan, expected)
    shared = _shared(stored(saved).brief, lit.light)
    read = await asyncio.gather(*(_take_in(desk.reader, p, shows, lit, shared) for p in photos))
    if lit.light and not shared:
        read = await _sharing(desk.reader, photos, read, shows, lit)
    intakes = [photo.intake for photo in read if photo.intake]
    if not intakes:
        raise HTTPException(422, _no_photo(read))
    background = role == "background"

    def step(plan: Plan, progress: Progress) -> Plan:
        from api.planner import revise

        brief = plan.brief
        for intake in intakes:
            brief = with_swatch(brief, intake.swatch, background=background)
        return revise(plan, brief, progress)

    pictures = {intake.swatch.picture: intake.picture for intake in intakes}
    change = Change(step, _added(len(intakes), role), pictures)
    async with desk.lock(plan):
        seen = await desk.finish(request, desk.change(plan, expected, change))
    return _uploaded(read, seen, background=background)


@router.patch(
    "/api/plans/{plan}/fabrics/{fabric}",
    summary="Change a fabric",
    response_model=PlanView,
    responses={**VIEW, **declared(404, 412, 422, change=True)},
)
async def change_fabric(
    request: Request,
    desk: DeskHere,
    plan: PlanId,
    fabric: FabricId,
    wish: FabricChange,
    expected: Expected,
) -> Response:
    """Rename a fabric, mark it, or tell how much cloth its photo shows."""
    given = wish.given()
    change = _change(fabric, lambda brief: with_changed_swatch(brief, fabric, given), "Changed")
    return await desk.answer(request, desk.change(plan, expected, change), desk.lock(plan))


@router.delete(
    "/api/plans/{plan}/fabrics/{fabric}",
    summary="Remove a fabric",
    response_model=PlanView,
    responses={**VIEW, **declared(404, 412, 422, change=True)},
)
async def remove_fabric(
    request: Request, desk: DeskHere, plan: PlanId, fabric: FabricId, expected: Expected
) -> Response:
    """Remove a fabric or a candidate background, and every mention of it."""
    change = _change(fabric, lambda brief: without_fabric(brief, fabric), "Removed")
    return await desk.answer(request, desk.change(plan, expected, change), desk.lock(plan))


def _change(fabric: str, edit: Callable[[Brief], Brief], did: str) -> Change:
    """Return the change that edits one fabric of a brief."""

    def step(plan: Plan, progress: Progress) -> Plan:
        from api.planner import revise

        need_fabric(plan, fabric)
        return revise(plan, edit(plan.brief), progress)

    return Change(step, f"{did} a fabric")


async def _take_in(
    reader: Reader,
    photo: UploadFile,
    shows: Inches | None,
    lit: _Lit,
    shared: Reference | None,
) -> _Photo:
    """Read one photo in a child process; what goes wrong with it is its own affair."""
    file = (photo.filename or "photo")[:_LONGEST_FILE_NAME]
    name = spoken_name(file)
    try:
        reading = await asyncio.to_thread(
            reader.read,
            await photo.read(),
            id="new",
            name=name,
            white=lit.white,
            otherwise=shared,
            even=lit.even,
            light=lit.light,
        )
    except ValueError as problem:
        return _Photo(file, problem=sentence(str(problem)))
    return _Photo(file, take_in(reading, shows))


def _no_photo(photos: Sequence[_Photo]) -> str:
    if len(photos) == 1:
        return str(photos[0].problem)
    return f"None of the {len(photos)} photos could be read. The first one: {photos[0].problem}"


def _added(count: int, role: str) -> str:
    return f"Added {count} {role}{'' if count == 1 else 's'}"


def _uploaded(photos: Sequence[_Photo], seen: PlanView, *, background: bool) -> Response:
    """Tell for each photo which of the newest fabrics it became."""
    brief = seen.plan.brief
    swatches = brief.backgrounds if background else brief.swatches
    count = sum(photo.intake is not None for photo in photos)
    newest = iter(swatches[len(swatches) - count :])
    results = [
        PhotoResult(
            file=photo.file,
            fabric=next(newest).fabric.id if photo.intake else None,
            problem=photo.problem,
        )
        for photo in photos
    ]
    body = Uploaded(results=results, plan=seen).model_dump_json()
    return Response(body, 200, {"etag": f'"{seen.revision}"'}, "application/json")
