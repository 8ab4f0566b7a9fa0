"""One photo of a whole bundle, taken apart in a child process."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from api.photos.intake import Intake, picture_name, take_in
from api.photos.worker import bundles, fabrics
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Mapping

    from api.photos.worker_pool import Reader
    from palette.bundle.find import Lie
    from palette.bundle.pipeline import Proposal  # noqa: TC004  (heavy; a type alone)
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


@dataclass(frozen=True, slots=True)
class Taken:
    """The photo of a bundle, looked through."""

    picture: str
    """Name of its cleaned copy."""
    data: bytes
    """The bytes of that."""
    proposal: Proposal
    """What was found in it."""


def propose(reader: Reader, data: bytes, name: str, lie: Lie, *, card: bool) -> Taken:
    """Find the fabrics in the photo of a bundle, as palette.bundle.pipeline.propose does."""
    from palette.bundle.pipeline import Proposal

    wish = {"name": name, "lie": asdict(lie), "card": card}
    answer = reader.do("propose", data, wish)
    picture, *crops = answer.parts
    found = bundles().validate_python(answer.values["found"])
    return Taken(picture_name(picture), picture, Proposal(found, tuple(crops)))


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
    return [
        take_in(Reading(fabrics().validate_python(fabric), cloth), inches(width))
        for fabric, cloth, width in rows
    ]


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
