"""A plan as a scene: the whole quilt with its setting triangles and borders."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, radians, sin, sqrt

from api.drawing.scene import Cloth, Piece, Point, Role, Scene
from api.plan import Plan, Swatch
from placement.block import Block, load_block
from placement.top.layout import EMPTY, Layout
from placement.top.setting import Cell, Setting

_STEP = (0.7548776662466927, 0.5698402909980532)
"""Roberts' R2 sequence: successive places are spread evenly, and each differs from the last."""


def quilt_scene(plan: Plan) -> Scene:
    """Draw a plan's quilt as pieces of cloth in inches.

    Raises
    ------
    ValueError
        If the plan has no layout yet.
    """
    if plan.layout is None:
        raise ValueError("this plan has no layout yet; arrange it before drawing it")
    brief, setting = plan.brief, plan.layout.setting
    border = float(brief.border)
    width, height = setting.width + 2 * border, setting.height + 2 * border
    swatches = {s.fabric.id: s for s in (*brief.swatches, *brief.backgrounds)}
    pieces = [
        *_blocks(plan, plan.layout, swatches, border),
        *_edge(setting, plan.background, border),
        *_borders(width, height, border, swatches.get(brief.border_fabric or plan.background)),
    ]
    used = dict.fromkeys(piece.fabric for piece in pieces)
    cloths = tuple(cloth_of(swatches[name]) for name in used if name in swatches)
    names = {cloth.id: cloth.name for cloth in cloths}
    labels = tuple(
        f"{cell}: {names.get(fabric, 'plain')}"
        for cell, fabric in zip(setting.cells(), plan.layout.fabrics, strict=True)
    )
    words = _words(plan.layout, brief.pattern(), len(plan.layout.counts()))
    return Scene(brief.title, words, width, height, tuple(pieces), cloths, labels)


def cloth_of(swatch: Swatch) -> Cloth:
    """Return what a drawing needs to know about a swatch."""
    fabric = swatch.fabric
    return Cloth(fabric.id, fabric.name, swatch.picture, float(swatch.shows), fabric.reads_as)


def _words(layout: Layout, block: Block, fabrics: int) -> str:
    setting = layout.setting
    where = "on point" if setting.kind == "on point" else "set straight"
    return (
        f"A quilt of {len(layout.fabrics)} {block.name.lower()} blocks {where}, "
        f"{setting.across} across and {setting.down} down, in {fabrics} fabrics."
    )


def _blocks(
    plan: Plan, layout: Layout, swatches: dict[str, Swatch], border: float
) -> Iterator[Piece]:
    """Draw every block: pieced ones, holes, and plain ones between them."""
    setting = layout.setting
    block, plain = plan.brief.pattern(), load_block("plain-square")
    turned = frozenset(layout.turned)
    for number, (cell, fabric) in enumerate(zip(setting.cells(), layout.fabrics, strict=True)):
        frame = _Frame(setting, cell, border, number in turned)
        hole = fabric == EMPTY
        yield from frame.pieces(
            plain if hole else block,
            {"F": plan.background if hole else fabric, "B": plan.background},
            "plain block" if hole else "patch",
            number,
            swatches,
        )
    for cell in setting.plain_cells():
        frame = _Frame(setting, cell, border, turned=False)
        yield from frame.pieces(plain, {"F": plan.background}, "plain block", None, swatches)


class _Frame:
    """Where one block lies: from parts of its side to inches of the quilt."""

    def __init__(self, setting: Setting, cell: Cell, border: float, turned: bool) -> None:
        x, y = setting.centre(cell)
        self.centre = (x + border, y + border)
        self.side = float(setting.block)
        self.angle = (45.0 if setting.kind == "on point" else 0.0) + (180.0 if turned else 0.0)
        # More than any block has parts, so that no two pieces share a place.
        self.seed = 64 * (cell.row * setting.across * 2 + cell.column)

    def point(self, x: float, y: float) -> Point:
        """Bring a point of the block, 0 to 1 from its top left corner, to the quilt."""
        across, down = (x - 0.5) * self.side, (y - 0.5) * self.side
        c, s = cos(radians(self.angle)), sin(radians(self.angle))
        return self.centre[0] + c * across - s * down, self.centre[1] + s * across + c * down

    def pieces(
        self,
        block: Block,
        fabrics: dict[str, str],
        role: Role,
        cell: int | None,
        swatches: dict[str, Swatch],
    ) -> Iterator[Piece]:
        """Cut the block's parts; the second feature takes the cell's fabric as well."""
        parts = [part for patch in block.patches for part in patch.parts()]
        for number, (letter, corners) in enumerate(parts):
            fabric = fabrics.get(letter, fabrics["F"])
            swatch = swatches.get(fabric)
            # A print without an up and a down is cut whichever way the cloth lies.
            turn = 0 if swatch is None or swatch.directional else 90 * (number % 4)
            yield Piece(
                tuple(self.point(float(x), float(y)) for x, y in corners),
                fabric,
                role,
                cell,
                (self.angle + turn) % 360,
                _place(self.seed + number),
            )


def _place(number: int) -> Point:
    return (0.5 + number * _STEP[0]) % 1.0, (0.5 + number * _STEP[1]) % 1.0


def _edge(setting: Setting, background: str, border: float) -> Iterator[Piece]:
    """Fill the edge of an on-point centre, its straight grain along the quilt's edge."""
    if setting.kind != "on point":
        return
    half = float(setting.block) / sqrt(2)
    right, bottom = setting.width, setting.height
    sides: list[tuple[Point, ...]] = []
    for place in range(1, setting.across):
        x = 2 * place * half
        sides.append(((x - half, 0), (x + half, 0), (x, half)))
        sides.append(((x + half, bottom), (x - half, bottom), (x, bottom - half)))
    for place in range(1, setting.down):
        y = 2 * place * half
        sides.append(((0, y + half), (0, y - half), (half, y)))
        sides.append(((right, y - half), (right, y + half), (right - half, y)))
    corners: list[tuple[Point, ...]] = [
        ((0, 0), (half, 0), (0, half)),
        ((right - half, 0), (right, 0), (right, half)),
        ((right, bottom - half), (right, bottom), (right - half, bottom)),
        ((half, bottom), (0, bottom), (0, bottom - half)),
    ]
    roles: tuple[tuple[Role, list[tuple[Point, ...]]], ...] = (
        ("setting triangle", sides),
        ("corner triangle", corners),
    )
    for role, shapes in roles:
        for number, points in enumerate(shapes):
            moved = tuple((x + border, y + border) for x, y in points)
            yield Piece(moved, background, role, place=_place(number))


def _borders(width: float, height: float, border: float, swatch: Swatch | None) -> Iterator[Piece]:
    """Sew on the sides first, then top and bottom over the full width (butted corners)."""
    if not border:
        return
    low, right, bottom = border, width - border, height - border
    fabric = swatch.fabric.id if swatch else ""
    # Long strips are cut along the cloth: the side ones are turned, unless a print has an up.
    side = 0.0 if swatch is None or swatch.directional else 90.0
    strips: tuple[tuple[float, float, float, float, float], ...] = (
        (0, low, low, bottom, side),
        (right, low, width, bottom, side),
        (0, 0, width, low, 0.0),
        (0, bottom, width, height, 0.0),
    )
    for number, (x0, y0, x1, y1, grain) in enumerate(strips):
        points = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
        yield Piece(points, fabric, "border", grain=grain, place=_place(number))
