"""The whole quilt as line drawings: by numbers, in rows, to colour, with its border."""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING

from api.booklet.figures import canvas
from api.booklet.figures.rows import CORNER, Row, lines, place_of, rows
from api.drawing.quilt import inset_of, quilt_scene
from api.wording import english

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.booklet.parts import Figure
    from api.booklet.source import Source
    from api.drawing.scene import Point, Shape
    from placement.top.setting.finishing import Border
    from placement.top.setting.sashing import Sash
    from placement.top.setting.setting import Cell

_NUMBER = 7.2
"""Points; the type of numbers on blocks."""
_RADIUS = 0.085
"""Of the white ground of a number, inches of paper."""


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
            labels.append(_number(source, fabric, at, float(setting.block_size) * scale))
    size = scene.width * scale + 0.02, scene.height * scale + 0.02
    return canvas.figure([*shapes, *labels], *size, alt)


def _fill(source: Source, piece: Shape) -> str:
    return source.colour(piece.fabric) if piece.fabric else "#ffffff"


def _number(source: Source, fabric: str, at: Point, side: float) -> str:
    """Write a fabric's number on its block, on a white ground."""
    if not fabric or 72 * side < 2 * _NUMBER:
        return ""
    number = str(source.numbers[fabric])
    return _disc(at, _RADIUS) + canvas.label(at, number, _NUMBER, "#000000")


def _disc(at: Point, radius: float, fill: str = "#ffffff") -> str:
    return (
        f'<circle cx="{canvas.number(at[0])}" cy="{canvas.number(at[1])}" '
        f'r="{canvas.number(radius)}" fill="{fill}"/>'
    )


def rows_figure(source: Source, width: float, height: float) -> Figure:
    """Draw the rows of the quilt a little apart, every block with its number."""
    found, between = rows(source.layout), lines(source.layout)
    setting = source.layout.setting
    patches = _patches(source)
    pointed = setting.kind == "on point"
    # A row without sashing stands one gap from the next; a line of sashing takes a gap, too.
    gap = (0.16 if between else 0.32) * float(setting.block_size) * (sqrt(0.5) if pointed else 1.0)
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
        shapes.extend(_row(source, row, scale, by, patches))
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
        f"{english.capital(way)} 1 to {len(found)}, drawn a little apart",
    )


def _sashing(source: Source, pieces: tuple[Sash, ...], scale: float, by: Point) -> Iterator[str]:
    fabrics = {"sashing": source.plan.sashing_fabric, "cornerstone": source.plan.cornerstone_fabric}
    for piece in pieces:
        fill = source.colour(fabrics[piece.part])
        yield canvas.cloth(canvas.moved(piece.points, by, scale), fill)


def _patches(source: Source) -> dict[int, list[Shape]]:
    """Return the pieces of every block as it lies in the quilt, turned where it is turned."""
    found: dict[int, list[Shape]] = {}
    for piece in quilt_scene(source.plan).pieces:
        if piece.cell is not None:
            found.setdefault(piece.cell, []).append(piece)
    return found


def _row(
    source: Source, row: Row, scale: float, by: Point, patches: dict[int, list[Shape]]
) -> Iterator[str]:
    setting = source.layout.setting
    marked = source.marked()
    inset = inset_of(source.plan.brief)
    cells = {cell: number for number, cell in enumerate(setting.cells())}
    for triangle in row.triangles():
        fill = source.colour(source.plan.background)
        yield canvas.cloth(canvas.moved(triangle, by, scale), fill)
    for cell in row.cells:
        number = cells.get(cell)
        fabric = source.layout.fabrics[number] if number is not None else ""
        out = by[0] - inset * scale, by[1] - inset * scale
        for piece in patches.get(-1 if number is None else number, ()):
            yield canvas.cloth(
                canvas.moved(piece.points, out, scale), _fill(source, piece), canvas.LINE, 0.004
            )
        if not fabric:
            ground = source.colour(source.plan.background)
            yield canvas.cloth(canvas.moved(_outline(source, cell), by, scale), ground)
        x, y = setting.centre(cell)
        at = x * scale + by[0], y * scale + by[1]
        yield _number(source, fabric, at, float(setting.block_size) * scale * 0.9)
        if number in marked and fabric:
            yield _mark(at)
    x, y = row.head
    yield canvas.label((x * scale + by[0], y * scale + by[1]), str(row.number), 7.5, "#000000")


def _mark(at: Point) -> str:
    """Put a dot at the number of a block that is turned or pressed the other way."""
    corner = at[0] + 0.9 * _RADIUS, at[1] - 0.9 * _RADIUS
    return _disc(corner, 0.037) + _disc(corner, 0.026, "#000000")


def _outline(source: Source, cell: Cell) -> tuple[Point, ...]:
    setting = source.layout.setting
    x, y = setting.centre(cell)
    half = float(setting.block_size) / 2
    if setting.kind == "on point":
        reach = half * sqrt(2)
        return (x, y - reach), (x + reach, y), (x, y + reach), (x - reach, y)
    return canvas.box(x - half, y - half, 2 * half, 2 * half)


def _corners(
    source: Source, scale: float, room: float, steps: dict[int, float], spread: float
) -> Iterator[str]:
    """Draw the four corner triangles outside the rows, where they are sewn on last."""
    setting = source.layout.setting
    out = 0.35 * float(setting.block_size)
    for which in CORNER:
        triangle, row = place_of(which, setting)
        step = steps[row]
        dx = -out if which.endswith("left") else out
        dy = -out if which.startswith("top") else out
        if which in ("top left", "bottom right"):
            step = 0.0 if which == "top left" else spread
        by = room + (step + dx * 0.5) * scale, room + (step + dy * 0.5) * scale
        yield canvas.cloth(canvas.moved(triangle, by, scale), source.colour(source.plan.background))


def border_figure(source: Source, frames: tuple[Border, ...]) -> Figure:
    """Draw all borders round the quilt top, with the lines to measure along.

    Butted strips stand apart and are numbered in the order they are sewn on; mitred ones lie in
    one band a side.
    """
    last = frames[-1]
    scale = 2.1 / max(last.width, last.height)
    thick = [max(float(frame.finished) * scale, 0.16) for frame in frames]
    butted = last.corner == "butted"
    gap = 0.09
    edge = 0.02 + sum(thick) + gap * (len(frames) if butted else 1)
    wide, high = (
        side * scale - 2 * float(last.finished) * scale for side in (last.width, last.height)
    )
    centre = edge, edge, edge + wide, edge + high
    shapes = [
        canvas.cloth(canvas.box(edge, edge, wide, high), "#ffffff"),
        canvas.line((edge + wide / 2, edge), (edge + wide / 2, edge + high), "0.06 0.04"),
        canvas.line((edge, edge + high / 2), (edge + wide, edge + high / 2), "0.06 0.04"),
        canvas.label((edge + wide / 4, edge + high / 2 - 0.1), "measure", 7.5),
    ]
    reach = 0.0
    for number, (frame, width) in enumerate(zip(frames, thick, strict=True)):
        reach += gap if butted or not number else 0.0
        shapes += _strips(source, frame, centre, (reach, width, gap), number)
        reach += width
    return canvas.figure(
        shapes, wide + 2 * edge, high + 2 * edge, *_border_words(len(frames), butted=butted)
    )


def _strips(
    source: Source,
    frame: Border,
    centre: tuple[float, float, float, float],
    place: tuple[float, float, float],
    number: int,
) -> Iterator[str]:
    """Draw the four strips of a border: how far out it begins, its width, the gap before it."""
    reach, width, gap = place
    fill, ink = source.colour(frame.fabric), source.ink_on(frame.fabric)
    left, top, right, bottom = centre
    x0, y0, x1, y1 = left - reach, top - reach, right + reach, bottom + reach
    out = width
    if frame.corner == "butted":
        inner = gap  # sides end where what they are sewn to ends
        sides = (
            canvas.box(x0 - out, y0 + inner, out, y1 - y0 - 2 * inner),
            canvas.box(x1, y0 + inner, out, y1 - y0 - 2 * inner),
            canvas.box(x0 - out, y0 - out, x1 - x0 + 2 * out, out),
            canvas.box(x0 - out, y1, x1 - x0 + 2 * out, out),
        )
    else:
        # The mitres run at 45 degrees through the corners of the quilt top.
        a, b, c, d = x0 + gap, y0 + gap, x1 - gap, y1 - gap
        sides = (
            ((x0 - out, b - out), (x0, b), (x0, d), (x0 - out, d + out)),
            ((x1, b), (x1 + out, b - out), (x1 + out, d + out), (x1, d)),
            ((a - out, y0 - out), (c + out, y0 - out), (c, y0), (a, y0)),
            ((a, y1), (c, y1), (c + out, y1 + out), (a - out, y1 + out)),
        )
    for place_of_side, points in enumerate(sides):
        yield canvas.cloth(points, fill)
        if frame.corner == "butted":
            order = 2 * number + 1 + place_of_side // 2
            yield canvas.label(canvas.middle(points), str(order), 8, ink)


def _border_words(count: int, *, butted: bool) -> tuple[str, str]:
    """Return what the drawing of the borders shows, and its caption."""
    dashed = "dashed lines through the middle show where to measure"
    if butted:
        return (
            (
                "The quilt top with its border strips drawn apart, numbered in the order of "
                f"sewing; {dashed}."
            ),
            "Measure along the dashed lines; sew the strips on in the order of the numbers",
        )
    band = " Every side is one band of several borders." if count > 1 else ""
    return (
        f"The quilt top with its mitred border strips drawn apart; {dashed}.{band}",
        f"Measure along the dashed lines.{band}",
    )
