"""Setting triangles: the squares they are cut from, and where they put the top's edge."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

from placement import sizes
from placement.inches import Inches
from placement.top.setting.finishing import QUARTER
from placement.top.setting.setting import NONE

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from placement.top.setting.setting import Setting


class Triangle(StrEnum):
    """Which setting triangles."""

    SIDE = "side"
    """Those between blocks at the quilt's edge, cut twice from a square."""
    CORNER = "corner"
    """Those at its corners, cut once from a square."""


@dataclass(frozen=True, slots=True)
class SettingSquares:
    """The squares that setting triangles of one kind are cut from."""

    kind: Triangle
    """Side triangles are cut twice from a square, corner triangles once."""
    triangles: int
    """Triangles needed."""
    squares: int
    """Squares to cut: four side or two corner triangles from each."""
    exact: float
    """Exact side of the square, inches."""
    cut: Inches
    """Side to cut: the exact one rounded up, never to nearest; or one's own."""
    rule: float
    """What the rule of thumb gives, for a 1/4 in seam."""


@dataclass(frozen=True, slots=True)
class OwnSquare:
    """What a setting square of one's own size does to the points of the blocks."""

    kind: Triangle
    """Which triangles are cut from it."""
    cut: Inches
    """Its size."""
    loss: float
    """Points are blunted by so many inches; below 0 they stand clear by so much."""
    largest_block: float
    """Largest finished block whose points it leaves whole, inches."""
    largest_unfinished: Inches
    """The same with seams, rounded down to 1/16 in: hold it against a measured block."""


def setting_squares(
    setting: Setting,
    seam: Inches = QUARTER,
    step: Inches = sizes.EIGHTH,
    own: Mapping[Triangle, Inches] | None = None,
    larger: Inches = NONE,
) -> tuple[SettingSquares, ...]:
    """Return the squares for side and corner triangles; empty for a straight setting.

    They are as large as is exact and ``larger`` by so much, rounded up to ``step``, or of a
    size of one's ``own``.
    """
    if setting.kind != "on point":
        return ()
    own = own or {}
    block, q, more = float(setting.block_size), float(seam), float(larger)
    side, corner = sizes.side_square(block, q), sizes.corner_square(block, q)
    sides, corners = setting.side_triangles, setting.corner_triangles
    found = [
        SettingSquares(
            Triangle.CORNER, corners, ceil(corners / 2), corner,
            own.get(Triangle.CORNER) or sizes.round_up(corner + more, step),
            sizes.corner_rule(block),
        )
    ]  # fmt: skip
    if sides:
        cut = own.get(Triangle.SIDE) or sizes.round_up(side + more, step)
        found.insert(
            0,
            SettingSquares(
                Triangle.SIDE, sides, ceil(sides / 4), side, cut, sizes.side_rule(block)
            ),
        )
    return tuple(found)


def own_square(setting: Setting, kind: Triangle, cut: Inches, seam: Inches = QUARTER) -> OwnSquare:
    """Return what squares of a size of one's own do to the points of the blocks.

    Raises
    ------
    ValueError
        If the square is too small to hold its seams at all.
    """
    block, q, given = float(setting.block_size), float(seam), float(cut)
    if kind == Triangle.SIDE:
        exact, largest = sizes.side_square(block, q), sizes.largest_block(given, q)
    else:
        exact = sizes.corner_square(block, q)
        largest = (given - q * (2 + sizes.ROOT2)) * sizes.ROOT2
    if largest <= 0:
        raise ValueError(f"a {cut} in square is all seam allowance; cut a larger one")
    unfinished = sizes.round_down(largest + 2 * q, Inches(Fraction(1, 16)))
    return OwnSquare(kind, cut, sizes.point_loss(given, exact), largest, unfinished)


def edge_beyond(setting: Setting, squares: Sequence[SettingSquares], floating: Inches) -> float:
    """Return how far the finished edge of a top lies beyond the points of its blocks, inches.

    Triangles from a square that is larger than exact reach half as far beyond; they are
    trimmed where the blocks are to float. Those from a smaller one blunt the points: then it is
    below 0. Between sashing, blocks do not float.

    Parameters
    ----------
    setting : Setting
        How blocks are put together.
    squares : sequence of SettingSquares
        What its triangles are cut from; none in a straight setting.
    floating : Inches
        How far blocks are to float.
    """
    asked = 0.0 if setting.sashing.value else float(floating)
    reach = [(float(each.cut) - each.exact) / 2 for each in squares]
    return min([asked, *reach]) if reach else 0.0
