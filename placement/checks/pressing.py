"""A judge of pressing: lays blocks side by side and looks at every junction.

It shares no code with the solver: four blocks of a checkerboard are placed in
the plane, each seam with the side its allowance lies on, and wherever two
seams meet end to end in one line their allowances must lie on opposite sides.
The corners of blocks are left out: there the seams between blocks meet, and the
points of triangles, which no pressing makes nest.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations
from typing import TYPE_CHECKING

from placement.block import GEESE, Block, Patch

if TYPE_CHECKING:
    from collections.abc import Iterator

    from placement.top.sewing.pressing import Pressing
    from placement.top.sewing.seams import Seam

Vector = tuple[Fraction, Fraction]
_Line = tuple[Vector, Vector, tuple[int, int]]


def judge_geese(pressing: Pressing, block: Block) -> tuple[str, ...]:
    """Return every flying goose with one seam pressed each way, if the pressing claims none.

    Toward the goose or away from it: what a point in the middle of the allowance is nearer
    to, the middle of the goose's base or not.
    """
    faults = []
    for patch in block.patches if pressing.kindness else ():
        if patch.cut not in GEESE:
            continue
        base = patch.parts()[0][1][:2]
        middle = (base[0][0] + base[1][0]) / 2, (base[0][1] + base[1][1]) / 2
        for plan in pressing.plans:
            sides = {
                _toward(seam, choice, middle)
                for seam, choice in zip(pressing.seams, plan, strict=True)
                if _inside(patch, seam)
            }
            if len(sides) > 1:
                x, y = (float(part) for part in (patch.left, patch.top))
                faults.append(f"the goose at {x:g} across and {y:g} down is pressed both ways")
    return tuple(faults)


def _inside(patch: Patch, seam: Seam) -> bool:
    """Whether a seam runs across a patch: not along its sides."""
    ends = [(x - patch.left, y - patch.top) for x, y in (seam.start, seam.end)]
    within = all(0 <= x <= patch.width and 0 <= y <= patch.height for x, y in ends)
    return within and ends[0][0] != ends[1][0] and ends[0][1] != ends[1][1]


def _toward(seam: Seam, choice: int, middle: Vector) -> bool:
    """Whether the allowance lies on the side of a seam where a point is."""
    way = 1 if choice else -1
    (x, y), (nx, ny) = seam.start, seam.normal
    return ((middle[0] - x) * nx + (middle[1] - y) * ny) * way > 0


def judge_pressing(pressing: Pressing) -> tuple[str, ...]:
    """Return every place where two seams in one line are pressed to the same side.

    Places are in block sides from the top left of a checkerboard of two by two
    blocks; those that the pressing itself names as failing are listed too.
    """
    lines = [line for row in (0, 1) for column in (0, 1) for line in _block(pressing, row, column)]
    ends: dict[Vector, list[_Line]] = {}
    for line in lines:
        for end in line[:2]:
            ends.setdefault(end, []).append(line)
    faults = []
    for place, meeting in ends.items():
        if place[0].denominator == place[1].denominator == 1:
            continue
        for first, second in combinations(meeting, 2):
            if _in_one_line(place, first, second) and first[2] == second[2]:
                x, y = (float(part) for part in place)
                faults.append(f"at {x:g} across and {y:g} down both seams lie on the same side")
    return tuple(faults)


def _block(pressing: Pressing, row: int, column: int) -> Iterator[_Line]:
    """Yield the seams of one block in the plane: both ends and the side of the allowance."""
    second = (row + column) % 2 == 1
    plan = pressing.plans[-1 if second else 0]
    for seam, choice in zip(pressing.seams, plan, strict=True):
        start, end, side = _turned(seam, choice, pressing.turn if second else 0)
        corner = Fraction(column), Fraction(row)
        yield (
            (start[0] + corner[0], start[1] + corner[1]),
            (end[0] + corner[0], end[1] + corner[1]),
            side,
        )


def _turned(seam: Seam, choice: int, turn: int) -> _Line:
    x, y = seam.normal if choice else (-seam.normal[0], -seam.normal[1])
    start, end = seam.start, seam.end
    for _ in range(turn // 90):
        start, end = (1 - start[1], start[0]), (1 - end[1], end[0])
        x, y = -y, x
    return start, end, (x, y)


def _in_one_line(place: Vector, first: _Line, second: _Line) -> bool:
    """Whether two seams that end in a place go on from each other in one direction."""
    ways = []
    for start, end, _ in (first, second):
        far = end if start == place else start
        ways.append((far[0] - place[0], far[1] - place[1]))
    (a, b), (c, d) = ways
    return a * d == b * c and a * c + b * d < 0
