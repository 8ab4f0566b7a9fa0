"""Everything of a quilt that is no block: sashing, setting triangles, borders, binding.

The binding is sewn to the front with the quilt's seam allowance, along the finished edge of the
top, and folded over the raw edges. So it shows as wide as the seam, outside the finished size: no
border grows narrower by it. It is drawn only once a fabric is chosen for it.
"""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING

from api.drawing.scene import Point, Role, Shape
from placement.top.setting.sashing import sashes

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.pattern.brief import Brief
    from api.pattern.plan import Plan
    from placement.top.setting.setting import Cell, Setting

_SQUARE = ((-1, -1), (1, -1), (1, 1), (-1, 1))
"""Corners from the middle, clockwise from the top left."""

_STEP = (0.7548776662466927, 0.5698402909980532)
"""Roberts' R2 sequence: successive places are spread evenly, and each differs from the last."""


def around(plan: Plan, inset: float) -> Iterator[Shape]:
    """Yield the pieces around the blocks, from the centre outward.

    Parameters
    ----------
    plan : Plan
        A plan; it needs no layout.
    inset : float
        Where the centre begins, across and down, in inches.
    """
    yield from _sashing(plan, inset)
    yield from _edge(plan.brief.setting, plan.background, inset, plan.brief.beyond)
    yield from _bands(plan, inset)


def plain_blocks(plan: Plan, inset: float) -> Iterator[Shape]:
    """Yield the plain blocks between pieced ones, whole squares of background."""
    setting = plan.brief.setting
    angle = 45.0 if setting.kind == "on point" else 0.0
    half = float(setting.block_size) / 2
    for cell in setting.plain_cells():
        x, y = (middle + inset for middle in setting.centre(cell))
        points: tuple[Point, ...]
        if angle:
            reach = half * sqrt(2)
            points = ((x, y - reach), (x + reach, y), (x, y + reach), (x - reach, y))
        else:
            points = tuple((x + a * half, y + b * half) for a, b in _SQUARE)
        yield Shape(
            points,
            plan.background,
            "plain block",
            grain=angle,
            place=spread(number_of(cell, setting)),
        )


def number_of(cell: Cell, setting: Setting) -> int:
    """Return a number for a cell's first piece, so that no two pieces share a place."""
    # More than any block has parts.
    return 64 * (cell.row * setting.across * 2 + cell.column)


def binding_shows(brief: Brief) -> float:
    """Return how wide the binding shows on the front, inches; 0 while no fabric is chosen."""
    return float(brief.sewing.seam) if brief.binding_fabric else 0.0


def spread(number: int) -> Point:
    """Return where on its cloth the piece of that number is cut."""
    return (0.5 + number * _STEP[0]) % 1.0, (0.5 + number * _STEP[1]) % 1.0


def _sashing(plan: Plan, inset: float) -> Iterator[Shape]:
    """Lay sashing, its cloth along the strips unless a print has an up and a down."""
    tilt = 45.0 if plan.brief.setting.kind == "on point" else 0.0
    fabrics = {"sashing": plan.sashing_fabric, "cornerstone": plan.cornerstone_fabric}
    for number, sash in enumerate(sashes(plan.brief.setting)):
        fabric = fabrics[sash.part]
        # Strips in a line run from left to right, on point up to the right; the others across.
        along = -tilt if sash.between else 90.0 - tilt
        turn = tilt if sash.part == "cornerstone" or _upright(plan, fabric) else along
        moved = tuple((x + inset, y + inset) for x, y in sash.points)
        yield Shape(moved, fabric, sash.part, grain=turn % 360, place=spread(number))


def _edge(setting: Setting, background: str, inset: float, beyond: float) -> Iterator[Shape]:
    """Fill the edge of an on-point centre, its straight grain along the quilt's edge.

    Beyond the points, seams go on as those of the diagonal rows: from bottom left to top right.
    """
    if setting.kind != "on point":
        return
    half, pitch = (float(side) / sqrt(2) for side in (setting.block_size, setting.pitch))
    right, bottom, out = setting.width, setting.height, max(0.0, beyond)
    sides: list[tuple[Point, ...]] = []
    for place in range(1, setting.across):
        x = 2 * place * pitch
        sides.append(_side((x - half, 0), (x + half, 0), (x, half), (out, -out)))
        sides.append(_side((x + half, bottom), (x - half, bottom), (x, bottom - half), (-out, out)))
    for place in range(1, setting.down):
        y = 2 * place * pitch
        sides.append(_side((0, y + half), (0, y - half), (half, y), (-out, out)))
        sides.append(_side((right, y - half), (right, y + half), (right - half, y), (out, -out)))
    far, low = right + out, bottom + out
    corners: list[tuple[Point, ...]] = [
        ((-out, -out), (half + out, -out), (half, 0), (0, half), (-out, half + out)),
        ((right - half, 0), (right - half + out, -out), (far, -out), (far, half - out),
         (right, half)),
        ((far, low), (right - half - out, low), (right - half, bottom), (right, bottom - half),
         (far, bottom - half - out)),
        ((half, bottom), (half - out, low), (-out, low), (-out, bottom - half + out),
         (0, bottom - half)),
    ]  # fmt: skip
    roles: tuple[tuple[Role, list[tuple[Point, ...]]], ...] = (
        ("side triangle", sides),
        ("corner triangle", corners),
    )
    for role, shapes in roles:
        for number, points in enumerate(shapes):
            distinct = dict.fromkeys(points)  # ends that are not moved out fall together
            moved = tuple((x + inset, y + inset) for x, y in distinct)
            yield Shape(moved, background, role, place=spread(number))


def _side(one: Point, other: Point, tip: Point, by: Point) -> tuple[Point, ...]:
    """Return a side triangle whose long side, from one end to the other, is moved out."""
    first, last = (one[0] + by[0], one[1] + by[1]), (other[0] + by[0], other[1] + by[1])
    return one, first, last, other, tip


def _bands(plan: Plan, inset: float) -> Iterator[Shape]:
    """Yield the strips of every border, then those of the binding."""
    brief = plan.brief
    corner = (inset - brief.beyond, inset - brief.beyond)
    size = brief.centre()
    bands: list[tuple[float, str, Role, bool]] = [
        (float(band.width), fabric, "border", brief.sewing.corner == "mitred")
        for band, fabric in zip(brief.borders, plan.border_fabrics, strict=True)
    ]
    shows = binding_shows(brief)
    if shows:
        bands.append((shows, brief.binding_fabric, "binding", True))
    for number, (width, fabric, role, mitred) in enumerate(bands):
        corner = (corner[0] - width, corner[1] - width)
        size = (size[0] + 2 * width, size[1] + 2 * width)
        strips = _strips(corner, size, width, mitred=mitred)
        for side, points in enumerate(strips):
            # Long strips are cut along the cloth: the sides are turned, unless a print has an up.
            grain = 90.0 if side < 2 and not _upright(plan, fabric) else 0.0
            yield Shape(points, fabric, role, grain=grain, place=spread(4 * number + side))


def _strips(
    corner: Point, size: tuple[float, float], width: float, *, mitred: bool
) -> tuple[tuple[Point, ...], ...]:
    """Return the left, right, top and bottom strips of a band, each clockwise."""
    (x0, y0), (x1, y1) = corner, (corner[0] + size[0], corner[1] + size[1])
    left, top, right, bottom = x0 + width, y0 + width, x1 - width, y1 - width
    if mitred:
        return (
            ((x0, y0), (left, top), (left, bottom), (x0, y1)),
            ((right, top), (x1, y0), (x1, y1), (right, bottom)),
            ((x0, y0), (x1, y0), (right, top), (left, top)),
            ((left, bottom), (right, bottom), (x1, y1), (x0, y1)),
        )
    return (
        ((x0, top), (left, top), (left, bottom), (x0, bottom)),
        ((right, top), (x1, top), (x1, bottom), (right, bottom)),
        ((x0, y0), (x1, y0), (x1, top), (x0, top)),
        ((x0, bottom), (x1, bottom), (x1, y1), (x0, y1)),
    )


def _upright(plan: Plan, fabric: str) -> bool:
    """Whether a fabric's print has an up and a down; none is chosen while its id is ''."""
    return bool(fabric) and plan.swatch(fabric).directional
