"""How photos are taken on the command line: one fabric or several, found or told by hand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, TypeVar

from api.pattern.edits import new_id
from api.photos.bundle import inches
from api.photos.intake import Intake, spoken_name, take_in
from palette.colour import parse_hex
from palette.photo.quad import Quad
from placement.inches import Inches

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable, Iterable
    from pathlib import Path

    from api.cli.options import Written
    from palette.bundle.find import Lie
    from palette.bundle.result import Found
    from placement.inches import Units

_T = TypeVar("_T")

ONE = "one"
_LIES = (
    "how fabrics lie in a photo: one (a single fabric), spread (with gaps), grid:4x5 (rows x "
    "columns, edge to edge) or stack:12 (folded one on another); one or spread is found unless told"
)


@dataclass(frozen=True, slots=True)
class Taking:
    """What is told of single photos, by the photo."""

    lies: Mapping[str, str] = field(default_factory=dict)
    """How fabrics lie in it."""
    corners: Mapping[str, Quad] = field(default_factory=dict)
    """Where its one cloth lies."""
    whole: frozenset[str] = frozenset()
    """Those that are cloth from edge to edge."""
    colours: Mapping[str, str] = field(default_factory=dict)
    """The colour that its cloth is told to read as."""
    edge: Inches | None = None
    """Length of each upper edge of several fabrics."""

    def lie(self, path: Path) -> Lie | None:
        """Return how several fabrics were told to lie in a photo; None if nothing was told."""
        told = self.lies.get(path.name, "")
        return None if told in ("", ONE) else lie_of(told)

    def by_hand(self, path: Path) -> dict[str, Any]:
        """Return what was told of a photo of one fabric, as palette.photo.read.read takes it."""
        found: dict[str, Any] = {}
        if path.name in self.corners:
            found["corners"] = self.corners[path.name]
        if path.name in self.whole:
            found["whole"] = True
        return found


def lie_of(text: str) -> Lie:
    """Read how fabrics lie: 'spread', 'grid:4x5' or 'stack:12'.

    Raises
    ------
    ValueError
        If it is nothing of that.
    """
    from palette.bundle.find import Lie

    kind, _, counts = text.partition(":")
    numbers = [int(part) if part.strip().isdigit() else -1 for part in counts.split("x")]
    if kind == "spread" and not counts:
        return Lie("spread")
    if kind == "grid" and len(numbers) == 2 and min(numbers) > 0:
        return Lie("grid", rows=numbers[0], columns=numbers[1])
    if kind == "stack" and len(numbers) == 1 and numbers[0] > 0:
        return Lie("stack", count=numbers[0])
    raise ValueError(
        f"{text!r} is no way to lie; write one, spread, grid:ROWSxCOLUMNS such as grid:4x5, or "
        "stack:COUNT such as stack:12"
    )


def corners_of(text: str) -> Quad:
    """Read four corners, 'x,y,x,y,x,y,x,y' from the upper left clockwise, in parts of the photo.

    Raises
    ------
    ValueError
        If they are not eight numbers, or enclose nothing.
    """
    try:
        parts = [float(part) for part in text.split(",")]
    except ValueError:
        parts = []
    if len(parts) != 8:
        raise ValueError(
            f"{text!r} is not four corners; write eight parts of the photo from 0 to 1, upper left "
            "first, then clockwise, such as 0.1,0.1,0.9,0.1,0.9,0.9,0.1,0.9"
        )
    return Quad.given(zip(parts[::2], parts[1::2], strict=True))


def add_taking(plan: argparse.ArgumentParser, length: Callable[[str], Written]) -> None:
    """Add the options about single photos; given what reads a length."""
    add = plan.add_argument_group("single photos (each may be repeated)").add_argument
    add("--lie", action="append", default=[], metavar="PHOTO=LIE", help=_LIES)
    add("--corners", action="append", default=[], metavar="PHOTO=X,Y,...",
        help="where its cloth lies: four corners from the upper left clockwise, in parts of the "
        "photo; found by itself unless told")  # fmt: skip
    add("--whole", action="append", default=[], metavar="PHOTO",
        help="a photo that is cloth from edge to edge")  # fmt: skip
    add("--colour", action="append", default=[], metavar="PHOTO=COLOUR",
        help="a colour that its cloth is to read as, such as #a83e32")  # fmt: skip
    add("--edge", type=length, metavar="LENGTH",
        help="upper edge of each fabric, where a photo shows several pre-cuts")  # fmt: skip


def taking(wish: argparse.Namespace, units: Units) -> Taking:
    """Return what was told of single photos; lengths without a unit are in the plan's.

    Raises
    ------
    ValueError
        If something can't be, or there is no such photo.
    """
    paths: list[Path] = [*wish.photos, *wish.background]
    lies = _each(wish.lie, "--lie", paths, lambda text: text if text == ONE else _checked(text))
    return Taking(
        lies,
        _each(wish.corners, "--corners", paths, corners_of),
        frozenset(_photo(text, "--whole", paths) for text in wish.whole),
        _each(wish.colour, "--colour", paths, parse_hex),
        wish.edge and wish.edge.read(units),
    )


def _checked(text: str) -> str:
    lie_of(text)
    return text


def _each(
    texts: Iterable[str], option: str, paths: list[Path], read: Callable[[str], _T]
) -> dict[str, _T]:
    """Read PHOTO=VALUE for each; the value alone is told of the only photo."""
    found = {}
    for text in texts:
        head, sign, tail = text.rpartition("=")
        if not sign and len(paths) == 1:
            head, tail = paths[0].name, text
        try:
            found[_photo(head, option, paths)] = read(tail)
        except ValueError as error:
            raise ValueError(f"{option} {text!r}: {error}") from None
    return found


def _photo(text: str, option: str, paths: list[Path]) -> str:
    """Return the file's name of a photo that is named by it, by its path, or without its ending."""
    for path in paths:
        if text in (path.name, str(path), path.stem):
            return path.name
    raise ValueError(f"{option}: there is no photo {text!r} among those given; name it by its file")


def take_pieces(
    picture: bytes, found: Found, taken: set[str], *, white: bool, edge: Inches | None
) -> tuple[Intake, ...]:
    """Read the fabrics in one photo; their ids are added to those taken.

    Parameters
    ----------
    picture, found : bytes, Found
        The cleaned copy of the photo and its pieces.
    taken : set[str]
        Ids that other fabrics have.
    white : bool
        Whether white paper beside them, if there is some, corrects the colours.
    edge : Inches | None
        Length of each upper edge, if it is known.
    """
    from palette.bundle.crop import shown
    from palette.bundle.pipeline import read_pieces

    intakes = []
    for number, reading in enumerate(read_pieces(picture, found, white="auto" if white else None)):
        label = new_id(reading.fabric.name, taken)
        taken.add(label)
        own = replace(reading, fabric=replace(reading.fabric, id=label))
        width = shown(found, number, edge=float(edge) if edge else None, ruler=None)
        intakes.append(take_in(own, inches(width)))
    return tuple(intakes)


def named(path: Path, taken: set[str]) -> tuple[str, str]:
    """Return the id and the name of the one fabric in a photo."""
    name = spoken_name(path.name)
    return new_id(name, taken), name
