"""Around the blocks: setting triangles, sashing, borders, binding, backing, batting.

Finished measures are plain floats in inches; what is cut is exact Inches.
Counts and lengths are derived; where a margin is a habit of the trade it says
'common practice' and can be changed.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import ceil, floor, sqrt
from typing import TYPE_CHECKING, Final, Literal

from placement import sizes
from placement.inches import Inches

if TYPE_CHECKING:
    from placement.inches import Units
    from placement.top.setting.setting import Setting

Join = Literal["diagonal", "straight"]
Grain = Literal["straight", "bias"]
Corner = Literal["butted", "mitred"]

QUARTER = Inches(Fraction(1, 4))
"""The usual seam allowance; common practice."""

SIMPLER = 18.0
"""Cloth that is given for a backing with fewer seams, inches: half a yard, a default of ours."""

HALF = Inches(Fraction(1, 2))
"""Step in which squares for bias binding are told; a planning default of ours."""


@dataclass(frozen=True, slots=True)
class Sashing:
    """Strips that frame the blocks and the squares where they meet."""

    strips: int
    """Strips of one block's length."""
    cut: tuple[Inches, Inches]
    """Length and width to cut each."""
    long: tuple[tuple[Inches, int], ...]
    """Length to cut, and count, of strips that run right across the quilt; only without
    cornerstones."""
    cornerstones: int
    """Whole squares, as wide as the strips."""
    half_cornerstones: int
    """Triangles at the quilt's edge, on point only."""
    half_square: Inches
    """Square to cut twice for four of them, their straight grain on the quilt's edge."""

    @property
    def half_squares(self) -> int:
        """Squares for the half cornerstones."""
        return ceil(self.half_cornerstones / 4)


def sashing(
    setting: Setting, seam: Inches = QUARTER, step: Inches = sizes.EIGHTH
) -> Sashing | None:
    """Return what the sashing of a setting takes; None without sashing.

    Strips are sewn in rows as blocks are: short ones between the blocks of a row,
    and between rows either short ones with cornerstones or one long strip. Counts
    are closed forms. Straight, framed: (a+1)b + a(b+1) strips and (a+1)(b+1)
    cornerstones. On point: 4ab strips, 2ab - a - b whole and 2(a + b) half
    cornerstones; a long strip ends at 45 degrees and takes q(1 + sqrt 2) at each.
    """
    if not setting.sashing.value:
        return None
    a, b, q = setting.across, setting.down, float(seam)
    pointed, width = setting.kind == "on point", float(setting.sashing)
    short, wide = (Inches(s.value + 2 * seam.value) for s in (setting.block_size, setting.sashing))
    square = sizes.round_up(sizes.quarter_square(width * sqrt(2), q), step)
    if setting.cornerstones:
        strips, whole, half = (
            (4 * a * b, 2 * a * b - a - b, 2 * (a + b))
            if pointed
            else ((a + 1) * b + a * (b + 1), (a + 1) * (b + 1), 0)
        )
        return Sashing(strips, (short, wide), (), whole, half, square)
    if not pointed:
        across = sizes.round_up(sizes.whole(setting.width, q), step)
        return Sashing((a + 1) * b, (short, wide), ((across, b + 1),), 0, 0, square)
    pitch = float(setting.pitch)
    lines = Counter(_strips_in_line(a, b, line) for line in range(a + b))
    long = tuple(
        (sizes.round_up(sizes.quarter_square(count * pitch + width, q), step), lines[count])
        for count in sorted(lines)
    )
    return Sashing(2 * a * b, (short, wide), long, 0, 0, square)


def _strips_in_line(across: int, down: int, line: int) -> int:
    """Return how many strips end to end make a diagonal line of sashing, 0 the first.

    In half diagonals of a block, line n runs through x + y = 2n + 1.
    """
    return min(2 * across, 2 * line + 1) - max(0, 2 * line + 1 - 2 * down)


@dataclass(frozen=True, slots=True)
class Border:
    """One border: four strips."""

    finished: Inches
    """Finished width."""
    cut: Inches
    """Width to cut."""
    corner: Corner
    """How the corners are made."""
    sides: float
    """Length of each of the two side strips to cut, inches."""
    ends: float
    """Length of the top and of the bottom strip to cut, inches."""
    width: float
    """Width of the quilt with this border, finished."""
    height: float
    """Height of the quilt with this border, finished."""
    fabric: str = ""
    """Id of its fabric; '' for a border without one."""

    @property
    def total(self) -> float:
        """Length of all four strips, inches."""
        return 2 * (self.sides + self.ends)


def border(
    width: float, height: float, finished: Inches, corner: Corner = "butted", seam: Inches = QUARTER
) -> Border:
    """Return the strips of a border round a centre of that finished size.

    Butted: sides first, then top and bottom over them. Mitred: each strip
    reaches both outer corners, and its 45 degree ends take q(1 + sqrt 2) each.
    Both are measured through the middle of the top; common practice.
    """
    b, q = float(finished), float(seam)
    if corner == "butted":
        sides, ends = height + 2 * q, width + 2 * b + 2 * q
    else:
        sides, ends = (sizes.quarter_square(length + 2 * b, q) for length in (height, width))
    cut = Inches(finished.value + 2 * seam.value)
    return Border(finished, cut, corner, sides, ends, width + 2 * b, height + 2 * b)


def strips_joined(length: float, usable: float, lost: float) -> int:
    """Return how many strips make ``length`` when each join loses ``lost``: ceil((L-l)/(u-l)).

    Raises
    ------
    ValueError
        If the strips are no longer than what a join loses.
    """
    if usable <= lost:
        raise ValueError(f"strips {usable:g} in long are all join ({lost:g} in a join)")
    return max(1, ceil((length - lost) / (usable - lost) - sizes.NOISE))


@dataclass(frozen=True, slots=True)
class Binding:
    """Double-fold binding."""

    cut: Inches
    """Width to cut."""
    length: float
    """Length needed, corners and overlap included, inches."""
    strips: int
    """Strips across the width of cloth; on the bias, squares that become one long strip each."""
    cloth: Inches
    """Length of cloth that strips or squares take."""
    square: Inches | None = None
    """Side of each square on the bias; None for strips on the straight grain."""


def binding(
    width: float,
    height: float,
    cut: Inches,
    usable: Inches,
    join: Join = "diagonal",
    extra: float = 12.0,
    seam: Inches = QUARTER,
) -> Binding:
    """Return the binding of a quilt of that finished size.

    ``extra`` is for corners and the overlap, 10 to 12 in by common practice. A
    diagonal join loses the cut width of the strip, a straight one two seams.
    """
    length = 2 * (width + height) + extra
    lost = float(cut) if join == "diagonal" else 2 * float(seam)
    strips = strips_joined(length, float(usable), lost)
    return Binding(cut, length, strips, Inches(cut.value * strips))


def bias_binding(
    width: float,
    height: float,
    cut: Inches,
    usable: Inches,
    extra: float = 12.0,
    seam: Inches = QUARTER,
    step: Inches = HALF,
) -> Binding:
    """Return the continuous bias binding of a quilt of that finished size.

    One square of cloth, or as few equal ones as the cloth's usable width asks
    for; strips from several squares lose the cut width in each diagonal join.

    Raises
    ------
    ValueError
        If no square that the cloth holds gives a single strip of that width.
    """
    length = 2 * (width + height) + extra
    if bias_length(float(usable), float(cut), float(seam)) <= float(cut):
        raise ValueError(
            f"cloth of {usable} in is too small for bias binding cut {cut} in wide; cut it on the "
            "straight grain or take larger cloth"
        )
    squares = 1
    while True:
        each = (length + (squares - 1) * float(cut)) / squares
        side = bias_square(each, cut, seam, step)
        if side <= usable:
            return Binding(cut, length, squares, Inches(side.value * squares), side)
        squares += 1


def bias_square(length: float, cut: Inches, seam: Inches = QUARTER, step: Inches = HALF) -> Inches:
    """Return the least square, rounded up, that gives a length of continuous bias.

    With n turns a square must hold n strips on its diagonal, S - 2q >= n c sqrt 2,
    and n turns must be long enough, n sqrt 2 (S - 2q) >= L; the best n is taken.
    """
    c, best, turns = float(cut), float("inf"), 1
    while turns * c * sqrt(2) < best:
        best = min(best, max(turns * c * sqrt(2), length / (turns * sqrt(2))))
        turns += 1
    return sizes.round_up(best + 2 * float(seam), step)


def bias_length(square: float, cut: float, seam: float) -> float:
    """Return the length of continuous bias from a square: n sqrt 2 (S - 2q).

    n = floor((S - 2q) / (sqrt 2 c)) turns; all in one unit. The rule of thumb
    S x S / c promises more than the cloth gives.
    """
    inner = square - 2 * seam
    return floor(inner / (sqrt(2) * cut) + sizes.NOISE) * sqrt(2) * inner


class Run(StrEnum):
    """How the seams between the panels of a backing run."""

    NONE = "none"
    """There are none: it is in one piece."""
    UPRIGHT = "upright"
    """From top to bottom."""
    LEVEL = "level"
    """From side to side."""


@dataclass(frozen=True, slots=True)
class Backing:
    """A backing made of panels across the quilt in one direction."""

    seams: Run
    """Which way the seams between panels run."""
    panels: int
    """Lengths of cloth sewn side by side."""
    panel_length: float
    """Length of each, inches."""
    cloth: float
    """Cloth in all, inches."""
    saving_margin: float | None
    """The margin a side that would save a whole panel, if it is at least 2 in."""


WIDE_BACKING: Final[dict[Units, tuple[Inches, Inches]]] = {
    "inches": (Inches.parse(108), Inches.parse(106)),
    "metric": (Inches.parse("2700 mm"), Inches.parse("2650 mm")),
}
"""Cloth woven wide for backings: its width as sold and what can be used of it (common practice)."""


def backing(
    width: float, height: float, usable: Inches, margin: float = 4.0, seam: float = 0.5
) -> tuple[Backing, ...]:
    """Return the ways to piece a backing, the one to take first.

    That is the one that takes less cloth; or the one with fewer seams, if it takes
    no more than ``SIMPLER`` beyond that. A second way in one piece is left out.
    ``margin`` is added on every side (4 in, common practice); panels are joined
    with ``seam`` (1/2 in after cutting the selvages off).
    """
    if margin < 0:
        raise ValueError(f"a backing can't be smaller than the quilt: margin {margin:g} in")
    found = []
    for seams, across, along in ((Run.UPRIGHT, width, height), (Run.LEVEL, height, width)):
        panels = _panels(across + 2 * margin, float(usable), seam)
        length = along + 2 * margin
        # Panels n - 1 wide reach (n-1)(u - 2s) + 2s: what margin does that leave?
        reach = (panels - 1) * (float(usable) - 2 * seam) + 2 * seam
        saving = (reach - across) / 2 if panels > 1 else 0.0
        found.append(
            Backing(
                Run.NONE if panels == 1 else seams,
                panels,
                length,
                panels * length,
                saving if 2 <= saving < margin else None,
            )
        )
    least = min(way.cloth for way in found) + SIMPLER
    found.sort(key=lambda way: (way.cloth > least, way.panels, way.cloth))
    return tuple(found[:1] if {way.panels for way in found} == {1} else found)


def _panels(across: float, usable: float, seam: float) -> int:
    if across <= usable:
        return 1
    return ceil((across - 2 * seam) / (usable - 2 * seam) - sizes.NOISE)


def batting(width: float, height: float, margin: float = 4.0) -> tuple[float, float]:
    """Return the size of the batting in inches: the quilt and a margin on every side."""
    return width + 2 * margin, height + 2 * margin
