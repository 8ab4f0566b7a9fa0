"""The whole quilt as line drawings: by numbers, in rows, to colour, with its border."""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt

from api.booklet import canvas, words
from api.booklet.parts import Figure
from api.booklet.rows import CORNER, Row, lines, place_of, rows
from api.booklet.source import Source
from api.drawing.quilt import inset_of, quilt_scene
from api.drawing.scene import Piece, Point
from placement.top.finishing import Border
from placement.top.sashing import Sash
from placement.top.setting import Cell

_LEAST_NUMBER = 5.0
"""Points; smaller numbers can't be read and are left out."""


def layout_figure(
    source: Source, width: float, height: float, alt: str, *, numbers: bool, bare: bool = False
) -> Figure:
    """Draw the whole quilt with its seams; bare leaves all cloth white, to colour."""
    scene = quilt_scene(source.plan)
    scale = min((width - 0.02) / scene.width, (height - 0.02) / scene.height)
    shapes = [
        canvas.cloth(
            canvas.moved(piece.points, (0.01, 0.01), scale),
            "#ffffff" if bare else _fill(source, piece),
            canvas.LINE,
            0.006,
        )
        for piece in scene.pieces
    ]
    inset = inset_of(source.plan.brief)
    setting = source.layout.setting
    labels = []
    if numbers:
        for cell, fabric in zip(setting.cells(), source.layout.fabrics, strict=True):
            x, y = setting.centre(cell)
            at = (x + inset) * scale + 0.01, (y + inset) * scale + 0.01
            labels.append(_number(source, fabric, at, float(setting.block) * scale))
    size = scene.width * scale + 0.02, scene.height * scale + 0.02
    return canvas.figure([*shapes, *labels], *size, alt)


def _fill(source: Source, piece: Piece) -> str:
    return source.colour(piece.fabric) if piece.fabric else "#ffffff"


def _number(source: Source, fabric: str, at: Point, side: float) -> str:
    """Write a fabric's number on its block."""
    size = min(11.0, 72 * side * 0.3)
    if not fabric or size < _LEAST_NUMBER:
        return ""
    return canvas.label(at, str(source.numbers[fabric]), size, source.ink_on(fabric))


def rows_figure(source: Source, width: float, height: float) -> Figure:
    """Draw the rows of the quilt a little apart, every block with its number."""
    found, between = rows(source.layout), lines(source.layout)
    setting = source.layout.setting
    pointed = setting.kind == "on point"
    # A row without sashing stands one gap from the next; a line of sashing takes a gap, too.
    gap = (0.16 if between else 0.32) * float(setting.block) * (sqrt(0.5) if pointed else 1.0)
    steps = {row.number: (2 * row.number - 1 if between else row.number - 1) for row in found}
    spread = gap * (2 * len(found) if between else len(found) - 1)
    apart = (spread, spread) if pointed else (0.0, spread)
    room = 0.3
    scale = min(
        (width - 2 * room) / (setting.width + apart[0]),
        (height - 2 * room) / (setting.height + apart[1]),
    )

    def moved(step: int) -> Point:
        by = step * gap * scale
        return room + (by if pointed else 0.0), room + by

    shapes: list[str] = []
    for line in between:
        shapes.extend(_sashing(source, line.pieces, scale, moved(2 * line.number)))
    for row in found:
        by = moved(steps[row.number])
        shapes.extend(_sashing(source, row.strips, scale, by))
        shapes.extend(_row(source, row, scale, by))
    if pointed:
        out = {row: step * gap for row, step in steps.items()}
        shapes.extend(_corners(source, scale, room, out, spread))
    size = (
        (setting.width + apart[0]) * scale + 2 * room,
        (setting.height + apart[1]) * scale + 2 * room,
    )
    way = "diagonal rows" if pointed else "rows"
    return canvas.figure(
        shapes,
        *size,
        f"The quilt in {len(found)} {way}, drawn apart; the rows are listed below.",
        f"{words.capital(way)} 1 to {len(found)}, drawn a little apart",
    )


def _sashing(source: Source, pieces: tuple[Sash, ...], scale: float, by: Point) -> Iterator[str]:
    fabrics = {"sashing": source.plan.sashing_fabric, "cornerstone": source.plan.cornerstone_fabric}
    for piece in pieces:
        fill = source.colour(fabrics[piece.part])
        yield canvas.cloth(canvas.moved(piece.points, by, scale), fill)


def _row(source: Source, row: Row, scale: float, by: Point) -> Iterator[str]:
    setting = source.layout.setting
    marked = source.marked()
    cells = {cell: number for number, cell in enumerate(setting.cells())}
    for triangle in row.triangles():
        fill = source.colour(source.plan.background)
        yield canvas.cloth(canvas.moved(triangle, by, scale), fill)
    for cell in row.cells:
        number = cells.get(cell)
        fabric = source.layout.fabrics[number] if number is not None else ""
        yield canvas.cloth(
            canvas.moved(_outline(source, cell), by, scale),
            source.colour(fabric or source.plan.background),
        )
        x, y = setting.centre(cell)
        at = x * scale + by[0], y * scale + by[1]
        yield _number(source, fabric, at, float(setting.block) * scale * 0.9)
        if number in marked and fabric:
            yield _mark(source, fabric, at, float(setting.block) * scale)
    x, y = row.head
    yield canvas.label((x * scale + by[0], y * scale + by[1]), str(row.number), 7.5, "#000000")


def _mark(source: Source, fabric: str, at: Point, side: float) -> str:
    """Put a dot over the number of a block that is turned or pressed the other way."""
    y = at[1] - 0.3 * side
    return (
        f'<circle cx="{canvas.number(at[0])}" cy="{canvas.number(y)}" '
        f'r="{canvas.number(min(0.03, 0.09 * side))}" fill="{source.ink_on(fabric)}"/>'
    )


def _outline(source: Source, cell: Cell) -> tuple[Point, ...]:
    setting = source.layout.setting
    x, y = setting.centre(cell)
    half = float(setting.block) / 2
    if setting.kind == "on point":
        reach = half * sqrt(2)
        return (x, y - reach), (x + reach, y), (x, y + reach), (x - reach, y)
    return canvas.box(x - half, y - half, 2 * half, 2 * half)


def _corners(
    source: Source, scale: float, room: float, steps: dict[int, float], spread: float
) -> Iterator[str]:
    """Draw the four corner triangles outside the rows, where they are sewn on last."""
    setting = source.layout.setting
    out = 0.35 * float(setting.block)
    for which in CORNER:
        triangle, row = place_of(which, setting)
        step = steps[row]
        dx = -out if which.endswith("left") else out
        dy = -out if which.startswith("top") else out
        if which in ("top left", "bottom right"):
            step = 0.0 if which == "top left" else spread
        by = room + (step + dx * 0.5) * scale, room + (step + dy * 0.5) * scale
        yield canvas.cloth(canvas.moved(triangle, by, scale), source.colour(source.plan.background))


def border_figure(source: Source, frame: Border) -> Figure:
    """Draw a border's strips round what it encloses, with the lines to measure along."""
    scale = 2.6 / max(frame.width, frame.height)
    wide, high, b = frame.width * scale, frame.height * scale, float(frame.finished) * scale
    b = max(b, 0.16)
    gap, left, top = 0.1, 0.3, 0.25
    edge = source.colour(frame.fabric)
    ink = source.ink_on(frame.fabric)
    x0, y0 = left + b + gap, top + b + gap
    inner_w, inner_h = wide - 2 * b, high - 2 * b
    x1, y1 = x0 + inner_w + gap, y0 + inner_h + gap
    butted = frame.corner == "butted"
    # Ends of the strips on their inner and outer long edges: a mitre runs out by its width.
    side, level = (0.0, b + gap) if butted else (b, b)
    within = gap + b if butted else 0.0
    strips = (
        ((left, y0 - side), (left + b, y0), (left + b, y1 - gap), (left, y1 - gap + side)),
        ((x1, y0), (x1 + b, y0 - side), (x1 + b, y1 - gap + side), (x1, y1 - gap)),
        ((x0 - level, top), (x1 - gap + level, top), (x1 - gap + within, top + b),
         (x0 - within, top + b)),
        ((x0 - within, y1), (x1 - gap + within, y1), (x1 - gap + level, y1 + b),
         (x0 - level, y1 + b)),
    )  # fmt: skip
    shapes = [
        canvas.cloth(canvas.box(x0, y0, inner_w, inner_h), "#ffffff"),
        *(canvas.cloth(points, edge) for points in strips),
        canvas.line((x0 + inner_w / 2, y0), (x0 + inner_w / 2, y0 + inner_h), "0.06 0.04"),
        canvas.line((x0, y0 + inner_h / 2), (x0 + inner_w, y0 + inner_h / 2), "0.06 0.04"),
        canvas.label((left + b / 2, y0 + inner_h / 2), "1", 9, ink),
        canvas.label((x1 + b / 2, y0 + inner_h / 2), "1", 9, ink),
        canvas.label((x0 + inner_w / 2, top + b / 2), "2", 9, ink),
        canvas.label((x0 + inner_w / 2, y1 + b / 2), "2", 9, ink),
        canvas.label((x0 + inner_w / 4, y0 + inner_h / 2 - 0.1), "measure", 7),
    ]
    return canvas.figure(
        shapes, wide + 2 * gap + 2 * left, high + 2 * gap + 2 * top,
        "The quilt top with the side borders, marked 1, and the top and bottom borders, marked 2; "
        "dashed lines through the middle show where to measure.",
        "Measure along the dashed lines" + "; 1 first, then 2" * butted,
    )  # fmt: skip
