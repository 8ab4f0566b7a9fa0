"""From a photo's bytes to a swatch of the plan: its id, its name, its stored picture."""

from __future__ import annotations

import hashlib
import re
import unicodedata
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import PurePath, PureWindowsPath
from typing import TYPE_CHECKING

from api.pattern.swatch import ASSUMED_WIDTH, LONGEST_NAME, Swatch

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from palette.photo.read import Reading
    from placement.inches import Inches


@dataclass(frozen=True, slots=True)
class Intake:
    """A swatch and the picture it refers to."""

    swatch: Swatch
    """The fabric as the plan holds it."""
    picture: bytes
    """Cleaned JPEG, to be stored under swatch.picture."""
    copy: bytes = b""
    """Cleaned copy of the whole photo, to be stored under swatch.taken.photo; none if empty."""

    def pictures(self) -> dict[str, bytes]:
        """Return all that is to be stored, by name."""
        kept = {self.swatch.picture: self.picture}
        if self.copy and self.swatch.taken:
            kept[self.swatch.taken.photo] = self.copy
        return kept


def picture_name(picture: bytes) -> str:
    """Return the name a picture is stored under: the SHA-256 of its bytes, in hex."""
    return hashlib.sha256(picture).hexdigest()


def spoken_name(filename: str) -> str:
    """Make a fabric's name from its file's name, whatever an upload calls itself.

    >>> spoken_name('../../quince_dots-01.jpg')
    'quince dots 01'
    """
    stem = PurePath(PureWindowsPath(filename).name).stem
    kept = "".join(c if unicodedata.category(c)[0] not in "CZ" else " " for c in stem)
    words = re.sub(r"[\s_-]+", " ", kept).strip()
    return words[:LONGEST_NAME].strip() or "Fabric"


def is_cameras_name(filename: str) -> bool:
    """Tell whether a file is called what a camera, a phone or a website calls it.

    >>> [is_cameras_name(name) for name in ('IMG_1234.HEIC', 'PXL_20240309_101112345.jpg')]
    [True, True]
    >>> [is_cameras_name(name) for name in ('quince_dots-01.jpg', 'linen 1234.jpg', 'rose2.png')]
    [False, False, False]
    """
    return _CAMERAS.fullmatch(PurePath(PureWindowsPath(filename).name).stem) is not None


_CAMERAS = re.compile(
    r"_?(?:img|image|imag|dscn?|dscf|pxl|mvimg|photo|picture|pic|foto|scan|p|cimg|screenshot|file"
    r"|unnamed|download|whatsapp image|signal)?[\s_-]*e?(?:[\d\s_().-]|wa\d+|at)*"
    r"(?:~\d+|[ _-]?edited|[ _-]?copy)?"
    r"|[0-9a-f]{16,}|[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}",
    re.IGNORECASE,
)
"""Names that cameras and phones give (DCF 2.0, 3.2.4, asks for four letters and four digits;
the rest is common practice), and those that name nothing."""


_PIECE = re.compile(r"Fabric \d+( \(\d+\))?")
"""What a piece of a photo of several is called until somebody names it."""


def _is_nobodys(name: str) -> bool:
    # A spoken name has spaces where its file had hyphens.
    spelt = (name, name.replace(" ", "-"))
    return any(map(is_cameras_name, spelt)) or _PIECE.fullmatch(name) is not None


def with_offered_names(intakes: Sequence[Intake], taken: Iterable[str]) -> list[Intake]:
    """Name by their colours those fabrics that nobody named, each in its own way.

    Parameters
    ----------
    intakes : Sequence[Intake]
        Fabrics that come in together.
    taken : Iterable[str]
        Names that others have already.
    """
    from api.wording.naming import offered_name

    names = {*taken, *(each.swatch.fabric.name for each in intakes)}
    named = []
    for intake in intakes:
        swatch = intake.swatch
        if _is_nobodys(swatch.fabric.name):
            name = offered_name(swatch.fabric, names)
            names.add(name)
            swatch = replace(swatch, fabric=replace(swatch.fabric, name=name))
        named.append(replace(intake, swatch=swatch))
    return named


def take_in_colour(colour: str, name: str = "") -> Intake:
    """Make a swatch of a colour told by hand; without a name it is called by its colour."""
    from api.wording.naming import plain_name
    from palette.solid import solid

    reading = solid(colour, id="new", name=name)
    if not name:
        named = replace(reading.fabric, name=plain_name(reading.fabric.reads_as))
        reading = replace(reading, fabric=named)
    # A solid looks the same at any scale, so no width need be told.
    return take_in(reading, ASSUMED_WIDTH)


def take_in(reading: Reading, shows: Inches | None = None, *, directional: bool = False) -> Intake:
    """Make a swatch of a photo that was read; ``shows`` is the width of cloth in it, if known.

    The picture may show a part of that cloth: then it shows less than the photo did.
    """
    swatch = Swatch(
        fabric=reading.fabric,
        picture=picture_name(reading.picture),
        shows=_shown(shows or ASSUMED_WIDTH, reading.across),
        shows_given=shows is not None,
        directional=directional,
        reference=reading.reference,
    )
    return Intake(swatch, reading.picture)


def _shown(width: Inches, across: float) -> Inches:
    """Return a part of a width, to a sixteenth of an inch."""
    if across == 1:
        return width
    return type(width)(max(Fraction(round(16 * float(width) * across)), Fraction(1)) / 16)
