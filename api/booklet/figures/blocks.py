"""Figures of one block: whole, taken apart along its seams, with press arrows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.booklet.figures import canvas
from api.booklet.figures.sewing import Join, Part, direction

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.booklet.parts import Figure
    from api.booklet.source import Source
    from api.drawing.scene import Point
    from placement.block import Patch

BLOCK = 1.34
"""Side of a block on paper, inches."""
_GAP = 0.16
_ROOM = 0.12
_CREEP = 0.16
"""Room on both sides of an arrow that points over the edge of a figure."""


def patches(source: Source, shown: tuple[Patch, ...], by: Point, scale: float) -> Iterator[str]:
    """Draw patches in the colours of their roles."""
    for patch in shown:
        for role, points in patch.parts():
            corners = canvas.moved(((float(x), float(y)) for x, y in points), by, scale)
            yield canvas.cloth(corners, source.fill(role))


def whole_block(source: Source, plan: int, caption: str) -> Figure:
    """Draw the block with every seam's arrow in one of the plans of pressing."""
    pressing = source.book.pressing
    block = source.block
    shapes = list(patches(source, block.patches, (_ROOM, _ROOM), BLOCK))
    for seam, choice in zip(pressing.seams, pressing.plans[plan], strict=True):
        x = float(seam.start[0] + seam.end[0]) / 2 * BLOCK + _ROOM
        y = float(seam.start[1] + seam.end[1]) / 2 * BLOCK + _ROOM
        shapes.append(canvas.arrow((x, y), direction(seam, choice), 0.19))
    side = BLOCK + 2 * _ROOM
    alt = f"The {block.name.lower()} block with an arrow across every seam: {caption}."
    return canvas.figure(shapes, side, side, alt, caption)


def bare_block(source: Source, side: float) -> Figure:
    """Draw the block as lines, to colour."""
    block = source.block
    shapes = [
        canvas.cloth(canvas.moved(((float(x), float(y)) for x, y in points), (0.01, 0.01), side),
                     "#ffffff")
        for patch in block.patches for _, points in patch.parts()
    ]  # fmt: skip
    alt = f"The {block.name.lower()} block as lines to colour"
    return canvas.figure(shapes, side + 0.02, side + 0.02, alt, "One block")


def apart(source: Source, join: Join, caption: str) -> Figure:
    """Draw the parts of a join a little apart, with an arrow over every seam."""
    part = join.part
    rows = part.axis == "rows"
    left, top = float(part.left), float(part.top)
    shapes: list[str] = []
    for number, inner in enumerate(part.parts):
        step = number * _GAP
        by = (
            _ROOM - left * BLOCK + (0 if rows else step),
            (_ROOM - top * BLOCK + (step if rows else 0)),
        )
        shapes.extend(patches(source, inner.patches, by, BLOCK))
    for number, (at, way) in enumerate(join.arrows):
        x = (float(at[0]) - left) * BLOCK + _ROOM + (0 if rows else (number + 0.5) * _GAP)
        y = (float(at[1]) - top) * BLOCK + _ROOM + ((number + 0.5) * _GAP if rows else 0)
        shapes.append(canvas.arrow((x, y), way))
    spread = (len(part.parts) - 1) * _GAP
    width = float(part.width) * BLOCK + 2 * _ROOM + (0 if rows else spread)
    height = float(part.height) * BLOCK + 2 * _ROOM + (spread if rows else 0)
    below = "one below the other" if rows else "side by side"
    alt = f"{len(part.parts)} parts {below}, with press arrows: {caption}"
    return canvas.figure(shapes, width, height, alt, caption)


def partial(source: Source, part: Part, caption: str) -> Figure:
    """Draw a part that needs a partial seam."""
    by = _ROOM - float(part.left) * BLOCK, _ROOM - float(part.top) * BLOCK
    shapes = patches(source, part.patches, by, BLOCK)
    width, height = (float(side) * BLOCK + 2 * _ROOM for side in (part.width, part.height))
    return canvas.figure(shapes, width, height, caption, caption)


def strip_set(source: Source, join: Join, roles: tuple[str, ...], caption: str) -> Figure:
    """Draw a strip set with the cuts across it and its press arrows."""
    part = join.part
    rows = part.axis == "rows"
    sizes = [float(inner.height if rows else inner.width) for inner in part.parts]
    slice_ = float(part.width if rows else part.height)
    scale = 1.5 / max(1.0, sum(sizes) / 0.75)
    length = min(3.4, 5.5 * slice_ * scale)
    y = _ROOM
    shapes: list[str] = []
    arrows: list[str] = []
    for number, (size, role) in enumerate(zip(sizes, roles, strict=True)):
        shapes.append(canvas.cloth(canvas.box(_ROOM, y, length, size * scale), source.fill(role)))
        y += size * scale
        if number < len(sizes) - 1 and len(join.arrows) == len(sizes) - 1:
            way = join.arrows[number][1]
            along = way if rows else (way[1], way[0])
            arrows.append(canvas.arrow((_ROOM + length - 0.3, y), along))
    # An arrow reaches over both strips, and the second is drawn after its seam.
    shapes += arrows
    x = _ROOM + slice_ * scale
    while x < _ROOM + length - 0.5:
        shapes.append(canvas.line((x, _ROOM - 0.07), (x, y + 0.07), "0.07 0.05", 0.013))
        x += slice_ * scale
    return canvas.figure(shapes, length + 2 * _ROOM, y + _ROOM,
                         f"A strip set with cuts across it: {caption}", caption)  # fmt: skip
