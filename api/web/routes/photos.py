"""Photos of fabrics on their way in: what is told about them, and reading them."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache, partial
from typing import TYPE_CHECKING, Annotated

from fastapi import Depends, Query, UploadFile
from fastapi.exceptions import RequestValidationError
from pydantic import TypeAdapter, ValidationError

from api.pattern.brief import Brief
from api.pattern.swatch import Taken
from api.photos.arrival import arrive, with_copy
from api.photos.intake import Intake, picture_name, spoken_name, take_in
from api.photos.worker import place
from api.photos.worker_pool import Reader
from api.web.problems import sentence
from api.web.wire.requests import Length
from palette.photo.paper_kind import PaperKind
from palette.photo.reference import Reference
from placement.inches import Inches

if TYPE_CHECKING:
    from palette.bundle.arrival import Arrival

_LONGEST_FILE_NAME = 200


@dataclass(frozen=True, slots=True)
class Upload:
    """One photo of an upload and what became of it."""

    file: str
    """The name it was sent under."""
    intake: Intake | None = None
    """What was read."""
    problem: str | None = None
    """Why nothing was."""
    bundle: Arrival | None = None
    """Several fabrics that it shows, to be looked at."""

    def pictures(self) -> dict[str, bytes]:
        """Return all that is to be stored of it, by name."""
        if self.bundle:
            return {picture_name(self.bundle.copy): self.bundle.copy}
        return self.intake.pictures() if self.intake else {}


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
class Lit:
    """How photos of an upload were taken."""

    white: str = "auto"
    """What corrects them, as api.photos.worker.place reads it."""
    light: str = ""
    """Names the light they share."""
    even: bool = True
    """Whether light that falls off is evened."""
    whole: bool = False
    """Whether hands and the table's edge are read along with the cloth."""
    paper: PaperKind = PaperKind.OFFICE
    """Kind of the white paper."""
    one: bool = False
    """Whether each photo shows one fabric, whatever seems to lie apart in it."""


AS_FOUND = Lit()


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
    whole: Annotated[
        bool,
        Query(
            description="Whether the whole photo is read, also what seems to be a hand, the "
            "table's edge or glare."
        ),
    ] = False,
    paper: Annotated[
        PaperKind,
        Query(
            description="Kind of the white paper: office paper, drawing paper without "
            "brighteners, cream paper, or a mid-grey card (marked by its place)."
        ),
    ] = PaperKind.OFFICE,
    one: Annotated[
        bool,
        Query(
            description="Whether each photo shows one fabric, whatever seems to lie apart in it."
        ),
    ] = False,
) -> Lit:
    """Read what the query tells about the light."""
    try:
        place(white)
    except ValueError as fault:
        raise RequestValidationError(
            [{"type": "value_error", "loc": ("query", "white"), "msg": str(fault), "input": white}]
        ) from None
    return Lit(white, light.strip(), even, whole, paper, one)


def shared_reference(brief: Brief, light: str) -> Reference | None:
    """Return the reference of a fabric that was photographed in a light of that name."""
    known = (
        swatch.reference for swatch in brief.everything() if light and swatch.fabric.light == light
    )
    return next((reference for reference in known if reference), None)


async def sharing(
    reader: Reader,
    photos: Sequence[UploadFile],
    read: Sequence[Upload],
    shows: Inches | None,
    lit: Lit,
) -> list[Upload]:
    """Read photos without paper again, by the paper of another one in the same light."""
    found = (photo.intake.swatch.reference for photo in read if photo.intake)
    shared = next((reference for reference in found if reference), None)
    again = list(read)
    for index, photo in enumerate(read):
        if shared and photo.intake and photo.intake.swatch.reference is None:
            again[index] = await read_photo(reader, photos[index], shows, lit, shared)
    return again


@lru_cache(maxsize=1)
def _length() -> TypeAdapter[Inches | None]:
    return TypeAdapter(Length | None)


def _bytes_of(photo: UploadFile) -> bytes:
    from palette.photo.open import MOST_BYTES

    photo.file.seek(0)
    return photo.file.read(MOST_BYTES)


async def read_photo(
    reader: Reader,
    photo: UploadFile,
    shows: Inches | None,
    lit: Lit,
    shared: Reference | None,
    *,
    several: bool = False,
) -> Upload:
    """Take in one photo in a child process; what goes wrong with it is its own affair."""
    from palette.photo.open import check_bytes

    file = (photo.filename or "photo")[:_LONGEST_FILE_NAME]
    taken = Taken("", whole=lit.whole, white=lit.white, paper=lit.paper, even=lit.even)
    try:
        check_bytes(photo.size or 0, spoken_name(file))
        arrival = await asyncio.to_thread(
            arrive,
            reader,
            partial(_bytes_of, photo),
            spoken_name(file),
            taken,
            several=several,
            light=lit.light,
            otherwise=shared,
        )
    except ValueError as problem:
        return Upload(file, problem=sentence(str(problem)))
    reading = arrival.reading
    if reading is None:
        return Upload(file, bundle=arrival)
    intake = with_copy(take_in(reading, shows), reading, arrival.copy, taken)
    return Upload(file, intake)


Width = Annotated[Inches | None, Depends(_width)]
Lighting = Annotated[Lit, Depends(_lighting)]
