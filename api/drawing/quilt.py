"""A plan as a scene: the whole quilt, its blocks and all that lies around them."""

from __future__ import annotations

from math import cos, radians, sin
from typing import TYPE_CHECKING

from api.drawing.around import around, binding_shows, number_of, plain_blocks, spread
from api.drawing.scene import Material, Point, Role, Scene, Shape
from placement.block import Block, load_block
from placement.top.setting.layout import EMPTY, Layout

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.pattern.brief import Brief
    from api.pattern.plan import Plan
    from api.pattern.swatch import Swatch
    from placement.top.setting.setting import Cell, Setting


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
    inset = inset_of(brief)
    width, height = setting.width + 2 * inset, setting.height + 2 * inset
    swatches = {s.fabric.id: s for s in (*brief.swatches, *brief.backgrounds)}
    pieces = [*_blocks(plan, plan.layout, swatches, inset), *around(plan, inset)]
    used = dict.fromkeys(piece.fabric for piece in pieces)
    cloths = tuple(cloth_of(swatches[name]) for name in used if name in swatches)
    names = {cloth.id: cloth.name for cloth in cloths}
    labels = tuple(
        f"{cell}: {names.get(fabric, 'plain')}"
        for cell, fabric in zip(setting.cells(), plan.layout.fabrics, strict=True)
    )
    words = _words(plan.layout, brief.pattern(), len(plan.layout.counts()))
    return Scene(brief.title, words, width, height, tuple(pieces), cloths, labels)


def inset_of(brief: Brief) -> float:
    """Return where the centre begins in the scene of a quilt, across and down, in inches."""
    return brief.inset + binding_shows(brief)


def cloth_of(swatch: Swatch) -> Material:
    """Return what a drawing needs to know about a swatch."""
    fabric = swatch.fabric
    return Material(fabric.id, fabric.name, swatch.picture, float(swatch.shows), fabric.reads_as)


def _words(layout: Layout, block: Block, fabrics: int) -> str:
    setting = layout.setting
    where = "on point" if setting.kind == "on point" else "set straight"
    return (
        f"A quilt of {len(layout.fabrics)} {block.name.lower()} blocks {where}, "
        f"{setting.across} across and {setting.down} down, in {fabrics} fabrics."
    )


def _blocks(
    plan: Plan, layout: Layout, swatches: dict[str, Swatch], inset: float
) -> Iterator[Shape]:
    """Draw every block: pieced ones, holes, and plain ones between them."""
    setting = layout.setting
    block, plain = plan.brief.pattern(), load_block("plain-square")
    turned = frozenset(layout.turned)
    for number, (cell, fabric) in enumerate(zip(setting.cells(), layout.fabrics, strict=True)):
        frame = _Frame(setting, cell, inset, layout.turn if number in turned else 0)
        hole = fabric == EMPTY
        yield from frame.pieces(
            plain if hole else block,
            _cut_from(plan, plan.background if hole else fabric),
            "plain block" if hole else "patch",
            number,
            swatches,
        )
    yield from plain_blocks(plan, inset)


def _cut_from(plan: Plan, fabric: str) -> dict[str, str]:
    """Return the fabric of each role in a block of one fabric."""
    return {"F": fabric, "S": plan.brief.second_fabric or fabric, "B": plan.background}


class _Frame:
    """Where one block lies: from parts of its side to inches of the quilt."""

    def __init__(self, setting: Setting, cell: Cell, inset: float, turn: int) -> None:
        x, y = setting.centre(cell)
        self.centre = (x + inset, y + inset)
        self.side = float(setting.block_size)
        self.angle = (45.0 if setting.kind == "on point" else 0.0) + turn
        self.seed = number_of(cell, setting)

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
    ) -> Iterator[Shape]:
        """Cut the block's parts, each from the fabric of its role."""
        parts = [part for patch in block.patches for part in patch.parts()]
        for number, (letter, corners) in enumerate(parts):
            fabric = fabrics[letter]
            swatch = swatches.get(fabric)
            # A print without an up and a down is cut whichever way the cloth lies.
            turn = 0 if swatch is None or swatch.directional else 90 * (number % 4)
            yield Shape(
                tuple(self.point(float(x), float(y)) for x, y in corners),
                fabric,
                role,
                cell,
                (self.angle + turn) % 360,
                spread(self.seed + number),
            )
