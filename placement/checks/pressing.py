"""A judge of pressing: lays blocks side by side and looks at every junction.

It shares no code with the solver: four blocks of a checkerboard are placed in
the plane, each seam with the side its allowance lies on, and wherever two
seams meet end to end in one line their allowances must lie on opposite sides.
The corners of blocks are left out: there the seams between blocks meet, and the
points of triangles, which no pressing makes nest. What lies on either side of a
seam is looked up in the block, a little beside it.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations
from math import hypot, isclose
from typing import TYPE_CHECKING

from placement.block import GEESE, Block, Patch
from placement.checks.fault import Fault, FaultKind, fault

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from placement.top.sewing.pressing import Pressing
    from placement.top.sewing.seams import Seam

Vector = tuple[Fraction, Fraction]
_Line = tuple[Vector, Vector, tuple[int, int]]

_BESIDE = Fraction(1, 10_000)
"""How far beside a seam its cloth is looked up, in block sides."""
_ALONG = tuple(Fraction(part, 23) for part in (1, 4, 7, 11, 15, 18, 22))
"""Where along a seam: places that patches of handy sizes do not end at."""


def judge_geese(pressing: Pressing, block: Block) -> tuple[Fault, ...]:
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
                x, y = float(patch.left), float(patch.top)
                faults.append(fault(FaultKind.GOOSE_BOTH_WAYS, across=x, down=y))
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


def judge_seams(
    pressing: Pressing, block: Block, lightness: Mapping[str, float]
) -> tuple[Fault, ...]:
    """List seams that are none of the block's, and a wrong share pressed to the dark.

    Parameters
    ----------
    pressing : Pressing
        What is to be judged.
    block : Block
        The block it is for.
    lightness : mapping of str to float
        L* of the cloth of each role.
    """
    count = len(pressing.seams)
    wrong = [plan for plan in pressing.plans if len(plan) != count]
    if wrong or not pressing.plans:
        said = len(wrong[0]) if wrong else 0
        return (fault(FaultKind.PLAN_LENGTH, said=said, found=count),)
    faults = [
        fault(FaultKind.SEAM_OFF, across=float(seam.start[0]), down=float(seam.start[1]))
        for seam in pressing.seams
        if not _parts_cloth(seam, block)
    ]
    dark = _dark(pressing, lightness)
    if not isclose(dark, pressing.toward_dark, abs_tol=1e-6):
        faults.append(fault(FaultKind.TOWARD_DARK, said=pressing.toward_dark, found=dark))
    return tuple(faults)


def _parts_cloth(seam: Seam, block: Block) -> bool:
    """Whether a seam lies between two parts all along, and has the roles beside it that it says."""
    (x0, y0), (x1, y1) = seam.start, seam.end
    nx, ny = seam.normal
    # A normal is told by its signs alone: those of the seam's line turned by a quarter.
    if (_sign(y1 - y0), -_sign(x1 - x0)) not in ((nx, ny), (-nx, -ny)):
        return False
    for share in _ALONG:
        x, y = x0 + share * (x1 - x0), y0 + share * (y1 - y0)
        beside = [
            _part_at(block, (x + way * _BESIDE * nx, y + way * _BESIDE * ny)) for way in (-1, 1)
        ]
        if beside[0] == beside[1] or None in beside:
            return False
        said = zip(seam.roles, beside, strict=True)
        if any(role and part and role != part[1] for role, part in said):
            return False
    return True


def _sign(length: Fraction) -> int:
    return (length > 0) - (length < 0)


def _part_at(block: Block, point: Vector) -> tuple[int, str] | None:
    """Return the number and role of the part of a block that holds a point; None outside."""
    number = 0
    for patch in block.patches:
        for role, corners in patch.parts():
            number += 1
            if _holds(corners, point):
                return number, role
    return None


def _holds(corners: tuple[Vector, ...], point: Vector) -> bool:
    """Whether a point lies in a convex shape with its corners clockwise as seen."""
    return all(
        (bx - ax) * (point[1] - ay) - (by - ay) * (point[0] - ax) >= 0
        for (ax, ay), (bx, by) in zip(corners, corners[1:] + corners[:1], strict=True)
    )


def _dark(pressing: Pressing, lightness: Mapping[str, float]) -> float:
    """Return the share of the seams' length, between unlike cloths, pressed to the darker one."""
    total = good = 0.0
    for plan in pressing.plans:
        for seam, choice in zip(pressing.seams, plan, strict=True):
            first, second = (lightness.get(role) for role in seam.roles)
            if first is None or second is None or first == second:
                continue
            (x0, y0), (x1, y1) = seam.start, seam.end
            long = hypot(x1 - x0, y1 - y0)
            total += long
            good += long if (second < first) == bool(choice) else 0.0
    return good / total if total else 1.0


def judge_pressing(pressing: Pressing, *, touching: bool = True) -> tuple[Fault, ...]:
    """Return every place where two seams in one line are pressed to the same side.

    Places are in block sides from the top left of a checkerboard of two by two
    blocks; those that the pressing itself names as failing are listed too.

    Parameters
    ----------
    pressing : Pressing
        What is to be judged.
    touching : bool
        Whether blocks lie side by side; else one block is looked at alone.
    """
    reach = (0, 1) if touching else (0,)
    lines = [line for row in reach for column in reach for line in _block(pressing, row, column)]
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
                faults.append(fault(FaultKind.SEAM_SIDES, across=x, down=y))
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
