"""Find the fabrics in one photo of a bundle."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from palette.bundle.gaps import spread_out
from palette.bundle.grid import whole, whole_grid
from palette.bundle.point import grown
from palette.bundle.result import BundleFault, BundleWarning, Found, Kind, added, cells, named
from palette.bundle.stack.borders import stack
from palette.bundle.table import Look, look_at
from palette.bundle.warnings import notes
from palette.photo.paper import SIDE as PAPER_SIDE
from palette.photo.paper import box_of, sheets_of_paper
from palette.photo.quad import Point, Quad

if TYPE_CHECKING:
    from palette.photo.box import Box
    from palette.photo.open import Photo

MOST = 150
"""Fabrics in one photo."""
_SHADOW = 0.01
"""Breadth of a card's shadow, part of the photo's width."""
_FRAME = Quad(((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)))


@dataclass(frozen=True, slots=True)
class Lie:
    """How a bundle lies in its photo.

    Raises
    ------
    ValueError
        If a grid has no rows and columns, a stack no count, or there are too many.
    """

    kind: Kind
    """With gaps, edge to edge in rows and columns, or folded one on another."""
    rows: int = 0
    """Of a grid."""
    columns: int = 0
    """Of a grid."""
    count: int = 0
    """Of fabrics in a stack."""

    def __post_init__(self) -> None:
        if self.kind == "grid" and not (self.rows > 0 and self.columns > 0):
            raise ValueError("a grid needs its counts: give how many rows and how many columns")
        if self.kind == "stack" and self.count < 1:
            raise ValueError("a stack needs its count: give how many fabrics lie in it")
        if max(self.rows * self.columns, self.count) > MOST:
            raise ValueError(f"at most {MOST} fabrics are read from one photo; take several")


def find(photo: Photo, lie: Lie, *, card: bool = False) -> Found:
    """Find the fabrics in a photo of a bundle.

    Parameters
    ----------
    photo : Photo
        Fabrics on a table that shows all round them.
    lie : Lie
        How they lie there.
    card : bool
        Whether a white card lies beside them, which is no fabric.

    Returns
    -------
    Found
        Pieces from the top left row by row, or along the stack.
    """
    look = look_at(photo)
    paper = _card(look) if card else None
    found = _found(look, Found(lie.kind, *photo.pixels.size), lie, paper)
    if card and paper is None:
        return replace(found, warnings=(BundleWarning(BundleFault.NO_CARD), *found.warnings))
    return found


def _card(look: Look) -> Box | None:
    """Return the box around the largest sheet of white paper."""
    step = max(1, round(max(look.light.shape) / PAPER_SIDE))
    sheets = sheets_of_paper(look.light[::step, ::step])
    return box_of(sheets[0].mask) if sheets else None


def _found(look: Look, empty: Found, lie: Lie, paper: Box | None) -> Found:
    if lie.kind == "spread":
        quads = spread_out(look)
        return _told(empty, [quad for quad in quads if not (paper and _covers(quad, paper))])
    if paper:
        look = _without(look, paper)
    rows, columns = lie.rows, lie.columns
    outline = whole_grid(look, rows, columns) if lie.kind == "grid" else whole(look)
    if outline:
        with suppress(ValueError):  # too narrow for so many fabrics
            return _told(empty, _parts(look, outline, lie))
    found = _told(empty, _parts(look, _FRAME, lie))
    return replace(found, warnings=(BundleWarning(BundleFault.NO_TABLE), *found.warnings))


def divided(found: Found, photo: Photo, outline: Quad, lie: Lie) -> Found:
    """Divide a grid or a stack anew, in an outline given by hand."""
    look = look_at(photo)
    return _told(found, _parts(look, outline, lie, beyond=False))


def tapped(found: Found, photo: Photo, at: Point) -> Found:
    """Add the fabric that a point lies on; for one so like the table that it was not found.

    Raises
    ------
    ValueError
        If the point lies outside the photo, or on a piece that is there already.
    """
    if not all(0 <= part <= 1 for part in at):
        raise ValueError(f"the point {at} lies outside the photo; give parts of it, 0 to 1")
    for piece in found.pieces:
        if piece.quad.holds(at):
            raise ValueError(f"{piece.name!r} lies there already; move its corners or remove it")
    return added(found, grown(look_at(photo), [piece.quad for piece in found.pieces], at))


def _parts(look: Look, outline: Quad, lie: Lie, *, beyond: bool = True) -> list[Quad]:
    if lie.kind == "stack":
        return stack(look, outline, lie.count, beyond=beyond)
    return cells(outline, lie.rows, lie.columns)


def _told(found: Found, quads: list[Quad]) -> Found:
    whole = replace(found, pieces=named(quads[:MOST]))
    return replace(whole, warnings=notes(whole))


def _covers(quad: Quad, paper: Box) -> bool:
    return quad.holds(((paper.left + paper.right) / 2, (paper.top + paper.bottom) / 2))


def _without(look: Look, paper: Box) -> Look:
    """Take the white card, with its shadow, for table."""
    left, top, right, bottom = paper.pixels(look.width, look.height)
    rim = round(_SHADOW * look.width)
    table = look.table.copy()
    table[max(top - rim, 0) : bottom + rim, max(left - rim, 0) : right + rim] = True
    return replace(look, table=table)
