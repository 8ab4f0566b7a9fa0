"""One photo of a whole bundle, taken apart in a child process."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from api.pattern.swatch import Taken
from api.photos.arrival import with_copy
from api.photos.intake import Intake, take_in
from api.photos.worker import bundles, fabrics
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Mapping

    from api.photos.worker_pool import Reader
    from palette.bundle.find import Lie
    from palette.bundle.pipeline import Proposal
    from palette.bundle.result import Found


@dataclass(frozen=True, slots=True)
class Measured:
    """Something of known length in the photo."""

    start: tuple[float, float]
    """Where it begins, parts of the photo's width and height."""
    end: tuple[float, float]
    """Where it ends."""
    length: Inches
    """From end to end."""


@dataclass(frozen=True, slots=True)
class Size:
    """What tells how large the cloth in a photo is; without either it is assumed."""

    edge: Inches | None = None
    """Length of each fabric's upper edge."""
    ruler: Measured | None = None
    """Something beside them; it goes before the edge."""


def look(reader: Reader, picture: bytes, lie: Lie) -> Proposal:
    """Find the fabrics in the cleaned copy of a photo, as palette.bundle.pipeline.looked does."""
    from palette.bundle.pipeline import Proposal

    answer = reader.do("look", picture, {"lie": asdict(lie)})
    return Proposal(bundles().validate_python(answer.values["found"]), answer.parts)


def correct(
    reader: Reader, picture: bytes, found: Found, do: str, wish: Mapping[str, Any]
) -> Proposal:
    """Correct what was found by hand, as palette.bundle.pipeline.corrected does."""
    from palette.bundle.pipeline import Proposal

    told = {"found": bundles().dump_python(found, mode="json"), "do": do, "wish": wish}
    answer = reader.do("correct", picture, told)
    return Proposal(bundles().validate_python(answer.values["found"]), answer.parts)


def take_in_pieces(
    reader: Reader, picture: bytes, found: Found, size: Size, white: str | None
) -> list[Intake]:
    """Read every piece as a swatch.

    Parameters
    ----------
    reader : Reader
        What reads.
    picture, found : bytes, Found
        The cleaned copy of the photo and its pieces.
    size : Size
        What tells how large they are.
    white : str | None
        What colours are corrected by: 'auto', a place 'left,top,right,bottom', or nothing.
    """
    from palette.photo.read import Reading

    told = {
        "found": bundles().dump_python(found, mode="json"),
        "edge": size.edge and float(size.edge),
        "ruler": _ruler(size),
        "white": white,
    }
    answer = reader.do("pieces", picture, told)
    rows = zip(answer.values["fabrics"], answer.parts, answer.values["shown"], strict=True)
    intakes = []
    for number, (fabric, cloth, width) in enumerate(rows):
        reading = Reading(fabrics().validate_python(fabric), cloth)
        taken = Taken("", corners=found.inner(number), white=white or "none")
        intakes.append(with_copy(take_in(reading, inches(width)), reading, picture, taken))
    return intakes


def inches(width: float | None) -> Inches | None:
    """Round a measured width to a sixteenth of an inch, as rulers are marked; None stays None."""
    return None if width is None else Inches(max(Fraction(round(16 * width)), Fraction(1)) / 16)


def _ruler(size: Size) -> dict[str, Any] | None:
    if size.ruler is None:
        return None
    return {
        "start": size.ruler.start,
        "end": size.ruler.end,
        "inches": float(size.ruler.length),
    }
