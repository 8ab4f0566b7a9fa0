"""The whole job from Python, by one import: photos to fabrics, a brief to a plan, what to print.

Everything here lives in a room of its own and is described there; this module is the
front door, so that a script does not have to know the house.

>>> from api.quilt import Brief, make, swatch_of_colour
>>> bundle = tuple(map(swatch_of_colour, ("#a83e32", "#2f4a6b", "#54703a", "#cca030")))
>>> plan = make(Brief(title="Four plain fabrics", swatches=bundle, count=4))
>>> len(plan.layout.fabrics)
72
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.booklet.edition import Edition
from api.booklet.output.pages import booklet_pdf
from api.pattern.brief import Band, Brief, Copies, OwnBlock
from api.pattern.checking import check, checked_book
from api.pattern.edits import new_id
from api.pattern.plan import Plan
from api.pattern.planner import make, pin, revise, swap
from api.pattern.sewing import Sewing
from api.pattern.stored import from_json, to_json
from api.pattern.swatch import Swatch
from api.photos.intake import Intake, spoken_name, take_in, take_in_colour
from api.wording.cutting import cutting_text
from api.wording.plan import summary
from placement.inches import Inches
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from pathlib import Path

__all__ = [
    "Band", "Brief", "Copies", "Edition", "Inches", "Intake", "OwnBlock", "Plan", "Setting",
    "Sewing", "Swatch", "booklet_pdf", "check", "checked_book", "cutting_text", "from_json",
    "make", "pin", "read_photo", "revise", "summary", "swap", "swatch_of_colour", "to_json",
]  # fmt: skip


def read_photo(path: Path) -> Intake:
    """Read a photo of one fabric, which is called by its file's name.

    Parameters
    ----------
    path : Path
        A photo in JPEG, PNG, WebP, AVIF or TIFF (HEIC too where the extra is installed).

    Returns
    -------
    Intake
        The swatch for a brief, and the cleaned picture for the printed pattern.

    Raises
    ------
    ValueError
        Saying why the file cannot be read as a photo.
    """
    from palette.photo.read import read

    return take_in(read(path.read_bytes(), id=new_id(path.stem, ()), name=spoken_name(path.name)))


def swatch_of_colour(colour: str) -> Swatch:
    """Return a plain fabric of a colour told by hand, such as '#2f4a6b'; its id is the colour.

    Raises
    ------
    ValueError
        If the text is no colour.
    """
    from dataclasses import replace

    swatch = take_in_colour(colour).swatch
    return replace(swatch, fabric=replace(swatch.fabric, id=colour.strip("#").lower()))
