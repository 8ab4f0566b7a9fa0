"""The way in of every photo, and its way back in when it is put right by hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING, Any
from zlib import crc32

from api.photos.intake import Intake, picture_name, take_in
from api.photos.worker import bundles, references
from api.photos.worker_pool import reading_of
from palette.fabric import PhotoFault
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Callable

    from api.pattern.swatch import Swatch, Taken
    from api.photos.worker_pool import Reader
    from palette.bundle.arrival import Arrival
    from palette.photo.quad import Quad
    from palette.photo.read import Reading
    from palette.photo.reference import Reference

_OF_THE_FILE = {PhotoFault.COLOURS_UNKNOWN, PhotoFault.INKS_ASSUMED, PhotoFault.HDR_WHITE}
"""What was told of the file that came; its copy does not show that any more."""


def arrive(
    reader: Reader,
    data: bytes | Callable[[], bytes],
    name: str,
    taken: Taken,
    *,
    several: bool = True,
    light: str = "",
    otherwise: Reference | None = None,
) -> Arrival:
    """Take in a photo, whatever it shows, as palette.bundle.arrival.arrive does.

    Parameters
    ----------
    reader : Reader
        What reads.
    data, name : bytes or Callable, str
        The file, or what reads it once it is its turn, and what its fabric is called.
    taken : Taken
        How to read it.
    several : bool
        Whether it may show several fabrics.
    light, otherwise : str, Reference | None
        As for palette.photo.read.read.

    Raises
    ------
    PhotoError
        If the bytes are no photo that can be used.
    """
    from palette.bundle.arrival import Arrival
    from palette.bundle.pipeline import Proposal

    wish: dict[str, Any] = {
        "id": "new",
        "name": name,
        "several": several,
        "white": taken.white,
        "paper": taken.paper,
        "even": taken.even,
        "whole": taken.whole,
        "light": light,
        "otherwise": references().dump_python(otherwise, mode="json"),
    }
    answer = reader.do("arrive", data, wish)
    if "found" in answer.values:
        copy, *crops = answer.parts
        found = bundles().validate_python(answer.values["found"])
        return Arrival(copy, proposal=Proposal(found, tuple(crops)))
    return Arrival(answer.parts[1], reading_of(answer))


def with_copy(intake: Intake, reading: Reading, copy: bytes, taken: Taken) -> Intake:
    """Let a swatch know the copy that is kept of its photo, and how it was taken from it."""
    found = _found(reading, taken)
    told = replace(taken, photo=picture_name(copy), found=found, across=reading.across)
    return replace(intake, swatch=replace(intake.swatch, taken=told), copy=copy)


def read_again(
    reader: Reader,
    copy: bytes,
    swatch: Swatch,
    taken: Taken,
    otherwise: Reference | None = None,
) -> Intake:
    """Read a fabric anew from the copy that was kept of its photo, as it was put right by hand.

    Parameters
    ----------
    reader : Reader
        What reads.
    copy : bytes
        The copy.
    swatch : Swatch
        The fabric as it is.
    taken : Taken
        How to read it now.
    otherwise : Reference | None
        What corrects it if no paper is found: the reference of another photo in the same light.

    Raises
    ------
    PhotoError
        If the white in it can't serve; the message says what to do.
    """
    fabric = swatch.fabric
    reading = reader.read(
        copy,
        id=fabric.id,
        name=fabric.name,
        white=taken.white,
        otherwise=otherwise,
        even=taken.even,
        whole=taken.whole,
        paper=taken.paper,
        corners=None if taken.corners is None else taken.corners.corners,
        light=fabric.light,
        colour=taken.colour,
    )
    if not taken.colour:
        # Fabrics of one photo go on sharing it.
        told = tuple(each for each in fabric.warnings if each.fault in _OF_THE_FILE)
        warnings = (*told, *reading.fabric.warnings)
        own = replace(reading.fabric, photo=f"{crc32(copy):08x}", warnings=warnings)
        reading = replace(reading, fabric=own)
    now = replace(taken, found=_found(reading, taken))
    shows = _width(swatch, now) if swatch.shows_given else None
    return with_copy(take_in(reading, shows), reading, copy, taken)


def _found(reading: Reading, taken: Taken) -> Quad | None:
    return reading.corners if taken.corners is None else taken.found


def _width(swatch: Swatch, now: Taken) -> Inches:
    """Return the width of the cloth in its new place, by what was told of the old one."""
    was = swatch.taken
    whole = float(swatch.shows) / (was.across if was else 1)
    before = _breadth(was.place() if was else None)
    return Inches(Fraction(max(1, round(16 * whole * _breadth(now.place()) / before)), 16))


def _breadth(place: Quad | None) -> float:
    """Return the part of the photo's width that the cloth takes."""
    return 1.0 if place is None else place.sides(1, 1)[0]
