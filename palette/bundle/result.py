"""What was found in the photo of a bundle, and its correction by hand.

A correction is a function from one value to another; nothing is changed in
place. Pieces keep their order and names; a new one comes last.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Literal

import numpy as np

from palette.bundle.outline import smallest_rectangle
from palette.photo.quad import Point, Quad

Kind = Literal["spread", "grid", "stack"]
"""How a bundle lies: with gaps, edge to edge in rows and columns, or folded one on another."""

KINDS: tuple[Kind, ...] = ("spread", "grid", "stack")

_RIM: dict[Kind, float] = {"spread": 0.1, "grid": 0.16, "stack": 0.2}
"""What is left away along each side of a piece, part of its shorter side."""
_LEAST_RIM = 0.05
"""The same, part of the side itself: the ends of folded fabrics do not lie flush."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One fabric in the photo."""

    name: str
    """What people call it."""
    quad: Quad
    """Its outline."""


class BundleFault(StrEnum):
    """What may be wrong with what was found in the photo of a bundle."""

    NOTHING = "nothing"
    NO_TABLE = "no table"
    NO_CARD = "no card"
    CARD = "card"
    SHORT_ROW = "short row"
    CUT_OFF = "cut off"
    SMALL = "small"
    TWO_IN_ONE = "two in one"
    FRAGMENT = "fragment"
    COLOURS_ASSUMED = "colours assumed"


@dataclass(frozen=True, slots=True)
class BundleWarning:
    """Something that may be wrong with what was found."""

    fault: BundleFault
    """What."""
    pieces: tuple[int, ...] = ()
    """Which pieces, counted from 0."""
    row: int = 0
    """Of a short row: which one, counted from 1."""
    holds: int = 0
    """How many pieces lie in it."""
    others: int = 0
    """How many lie in the others."""


@dataclass(frozen=True, slots=True)
class Found:
    """The fabrics found in the photo of a bundle."""

    kind: Kind
    """How the bundle lies."""
    width: int
    """Of the photo, in pixels."""
    height: int
    """Of the photo, in pixels."""
    pieces: tuple[Piece, ...] = ()
    """From the top left, row by row."""
    warnings: tuple[BundleWarning, ...] = ()
    """What may be wrong."""

    def inner(self, number: int) -> Quad:
        """Return the part of a piece that is sure to show it: without rims and shadows."""
        quad = self.piece(number).quad
        across, down = quad.sides(self.width, self.height)
        rim = _RIM[self.kind] * min(across, down)
        x, y = max(rim / across, _LEAST_RIM), max(rim / down, _LEAST_RIM)
        return quad.part(x, y, 1 - x, 1 - y)

    def piece(self, number: int) -> Piece:
        """Return a piece by its number, from 0; ValueError if there is none."""
        if not 0 <= number < len(self.pieces):
            raise ValueError(
                f"there is no piece {number} among the {len(self.pieces)} found; count from 0"
            )
        return self.pieces[number]


def in_reading_order(quads: list[Quad]) -> list[Quad]:
    """Sort pieces that lie anyhow: row by row, from the left in each."""
    return [quad for row in in_rows(quads) for quad in row]


def in_rows(quads: list[Quad]) -> list[list[Quad]]:
    """Sort pieces that lie anyhow into rows from the top, each from the left."""
    rows: list[list[Quad]] = []
    for quad in sorted(quads, key=lambda quad: quad.middle[1]):
        if rows and _beside(rows[-1], quad):
            rows[-1].append(quad)
        else:
            rows.append([quad])
    return [sorted(row, key=lambda quad: quad.middle[0]) for row in rows]


def named(quads: list[Quad], name: str = "Fabric") -> tuple[Piece, ...]:
    """Name pieces by their number."""
    return tuple(Piece(f"{name} {number}", quad) for number, quad in enumerate(quads, 1))


def moved(found: Found, number: int, corner: int, to: Point) -> Found:
    """Move one corner of a piece: 0 top left, 1 top right, 2 bottom right, 3 bottom left."""
    piece = found.piece(number)
    if not 0 <= corner < 4:
        raise ValueError(f"a piece has the corners 0 to 3, not {corner}")
    corners = piece.quad.array()
    corners[corner] = to
    return _with(found, number, (replace(piece, quad=Quad.given(corners)),))


def split(found: Found, number: int, *, across: bool, at: float = 0.5) -> Found:
    """Split a piece in two: side by side (`across`) or one above the other, at a part of it."""
    if not 0.02 <= at <= 0.98:
        raise ValueError(f"a piece is split between 0.02 and 0.98 of its length, not at {at}")
    piece = found.piece(number)
    boxes = ((0, 0, at, 1), (at, 0, 1, 1)) if across else ((0, 0, 1, at), (0, at, 1, 1))
    quads = [piece.quad.part(*box) for box in boxes]
    new = _free_name(found, piece.name)
    return _with(found, number, (Piece(piece.name, quads[0]), Piece(new, quads[1])))


def joined(found: Found, first: int, second: int) -> Found:
    """Join two pieces of one fabric; the name of the first stays."""
    if first == second:
        raise ValueError(f"piece {first} can't be joined with itself; name two pieces")
    size = np.array([found.width, found.height])
    pair = (found.piece(first), found.piece(second))
    points = np.concatenate([piece.quad.array() for piece in pair]) * size
    quad = Quad.of_pixels(smallest_rectangle(points), found.width, found.height)
    whole = _with(found, first, (replace(pair[0], quad=quad),))
    return removed(whole, second)


def removed(found: Found, number: int) -> Found:
    """Take a piece out."""
    found.piece(number)
    return _with(found, number, ())


def added(found: Found, quad: Quad) -> Found:
    """Add a piece."""
    piece = Piece(_free_name(found, f"Fabric {len(found.pieces) + 1}"), quad)
    return replace(found, pieces=(*found.pieces, piece))


def cells(whole: Quad, rows: int, columns: int) -> list[Quad]:
    """Divide a flat piece evenly into rows and columns; row by row."""
    if rows < 1 or columns < 1:
        raise ValueError(f"a grid has at least one row and one column, not {rows} x {columns}")
    return [
        whole.part(column / columns, row / rows, (column + 1) / columns, (row + 1) / rows)
        for row in range(rows)
        for column in range(columns)
    ]


def _with(found: Found, number: int, pieces: tuple[Piece, ...]) -> Found:
    before, after = found.pieces[:number], found.pieces[number + 1 :]
    return replace(found, pieces=(*before, *pieces, *after))


def _free_name(found: Found, name: str) -> str:
    taken = {piece.name for piece in found.pieces}
    number, candidate = 1, name
    while candidate in taken:
        number += 1
        candidate = f"{name} ({number})"
    return candidate


def _beside(row: list[Quad], quad: Quad) -> bool:
    """Whether a piece lies in a row: its middle is level with the last one's body."""
    y = row[-1].array()[:, 1]
    return bool(y.min() < quad.middle[1] < y.max())
