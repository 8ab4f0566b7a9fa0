"""Figures of triangle units in the making: squares with drawn lines, stitches and cuts."""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING

from api.booklet.figures import canvas
from api.booklet.figures.blocks import patches
from api.drawing.scene import Point

if TYPE_CHECKING:
    from api.booklet.parts import Figure
    from api.booklet.source import Source
    from placement.block import Patch

_ROOM = 0.08
_SQUARE = 1.3
"""Side of the large square of a figure, inches of paper."""
_SEAM = 0.055
"""A seam allowance in a figure, larger than true so that it shows."""

Line = tuple[Point, Point]


def _beside(line: Line, away: float) -> Line:
    """Return a line parallel to a diagonal one, ``away`` to its right."""
    (x0, y0), (x1, y1) = line
    far = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
    dx, dy = -(y1 - y0) / far * away, (x1 - x0) / far * away
    return (x0 + dx, y0 + dy), (x1 + dx, y1 + dy)


def _sewn_beside(line: Line) -> str:
    """Draw a marked line with stitches on both sides."""
    pair = "".join(_stitched(_beside(line, away)) for away in (_SEAM, -_SEAM))
    return canvas.drawn(*line) + pair


def _stitched(line: Line) -> str:
    return _halo(line) + canvas.stitches(*line)


def _cut_along(line: Line) -> str:
    return _halo(line) + canvas.line(*line, "0.09 0.05", 0.014)


def _halo(line: Line) -> str:
    """Draw what makes a line readable on dark cloth."""
    return canvas.line(*line, width=0.03, ink="#ffffff")


def _back(fill: str) -> str:
    """Return the colour of a cloth's back: paler than its face.

    >>> _back('#000000')
    '#999999'
    """
    mixed = (round(int(fill[at : at + 2], 16) * 0.4 + 255 * 0.6) for at in (1, 3, 5))
    return "#" + "".join(f"{part:02x}" for part in mixed)


def unit(source: Source, patch: Patch, caption: str) -> Figure:
    """Draw a finished unit."""
    width, height = float(patch.width), float(patch.height)
    scale = 1.15 / max(width, height)
    by = _ROOM - float(patch.left) * scale, _ROOM - float(patch.top) * scale
    shapes = patches(source, (patch,), by, scale)
    alt = f"The finished unit: {caption}"
    return canvas.figure(
        shapes, width * scale + 2 * _ROOM, height * scale + 2 * _ROOM, alt, caption
    )


def marked_square(
    source: Source, role: str, lines: tuple[Line, ...], cuts: tuple[Line, ...], caption: str
) -> Figure:
    """Draw a square with marked lines, stitches beside them, and plain cuts (parts of 1)."""
    fill, seen = (_back(source.fill(role)), "from its back") if lines else (
        source.fill(role), "from its face"
    )  # fmt: skip
    shapes = [canvas.cloth(canvas.box(_ROOM, _ROOM, _SQUARE, _SQUARE), fill)]
    shapes.extend(_sewn_beside(_placed(line)) for line in lines)
    shapes.extend(_cut_along(_placed(line)) for line in cuts)
    side = _SQUARE + 2 * _ROOM
    return canvas.figure(shapes, side, side, f"A square seen {seen}: {caption}", caption)


def _placed(line: Line) -> Line:
    start, end = (canvas.moved([point], (_ROOM, _ROOM), _SQUARE)[0] for point in line)
    return start, end


def sewn_round(source: Source, role: str, caption: str) -> Figure:
    """Draw a square with stitches all round and both diagonals to cut."""
    low, high = _ROOM + _SEAM, _ROOM + _SQUARE - _SEAM
    corners = [(low, low), (high, low), (high, high), (low, high)]
    shapes = [canvas.cloth(canvas.box(_ROOM, _ROOM, _SQUARE, _SQUARE), _back(source.fill(role)))]
    for start, end in zip(corners, corners[1:] + corners[:1], strict=True):
        shapes.append(_stitched((start, end)))
    shapes.extend(_cut_along(_placed(line)) for line in (DOWN, UP))
    side = _SQUARE + 2 * _ROOM
    return canvas.figure(shapes, side, side, f"Two squares sewn all round: {caption}", caption)


def rectangle(source: Source, role: str, patch: Patch, caption: str) -> Figure:
    """Draw a rectangle with the diagonal cut of a half-rectangle unit."""
    width, height = float(patch.width), float(patch.height)
    scale = _SQUARE / max(width, height)
    wide, high = width * scale, height * scale
    ends = ((0.0, 1.0), (1.0, 0.0)) if patch.cut == "/" else ((0.0, 0.0), (1.0, 1.0))
    start, end = ((_ROOM + x * wide, _ROOM + y * high) for x, y in ends)
    shapes = [
        canvas.cloth(canvas.box(_ROOM, _ROOM, wide, high), source.fill(role)),
        _cut_along((start, end)),
    ]
    return canvas.figure(shapes, wide + 2 * _ROOM, high + 2 * _ROOM,
                         f"A rectangle cut on the diagonal: {caption}", caption)  # fmt: skip


DOWN: Line = ((0.0, 0.0), (1.0, 1.0))
UP: Line = ((0.0, 1.0), (1.0, 0.0))
ACROSS: Line = ((0.0, 0.5), (1.0, 0.5))
UPRIGHT: Line = ((0.5, 0.0), (0.5, 1.0))


def geese_first(source: Source, roles: str, small: float, caption: str) -> Figure:
    """Draw a large square with two small ones on opposite corners; ``small`` is a part of it."""
    side, little = _SQUARE, small * _SQUARE
    far = _ROOM + side - little
    shapes = [
        canvas.cloth(canvas.box(_ROOM, _ROOM, side, side), source.fill(roles[0])),
        canvas.cloth(canvas.box(_ROOM, _ROOM, little, little), _back(source.fill(roles[1]))),
        canvas.cloth(canvas.box(far, far, little, little), _back(source.fill(roles[1]))),
        _sewn_beside(_placed(DOWN)),
    ]
    whole = side + 2 * _ROOM
    alt = f"A large square with two small squares on opposite corners: {caption}"
    return canvas.figure(shapes, whole, whole, alt, caption)


def geese_second(source: Source, roles: str, small: float, caption: str) -> Figure:
    """Draw one half, opened, with the third small square on its corner."""
    side, s = _SQUARE, small * _SQUARE
    far = side - s

    def at(*points: Point) -> tuple[Point, ...]:
        return canvas.moved(points, (_ROOM, _ROOM))

    large, little = source.fill(roles[0]), source.fill(roles[1])
    corner = at((side, 0), (far, s))
    shapes = [
        canvas.cloth(at((0, 0), (side, 0), (side, side)), large),
        canvas.cloth(at((0, 0), (s, s), (0, s)), little),
        canvas.cloth(at((far, far), (side, side), (far, side)), little),
        canvas.cloth(at((far, 0), (side, 0), (side, s), (far, s)), _back(little)),
        _sewn_beside((corner[0], corner[1])),
    ]
    whole = side + 2 * _ROOM
    alt = f"A half pressed open with a small square on its corner: {caption}"
    return canvas.figure(shapes, whole, whole, alt, caption)


def corner_first(source: Source, roles: str, caption: str) -> Figure:
    """Draw a rectangle with a square on one end, sewn on its line; the corner is cut off.

    The line runs from the lower left corner to beyond the middle above.
    """
    wide, high = _SQUARE, _SQUARE / 2 + _SEAM
    left, top = _ROOM, _ROOM
    end = (left + high, top)
    cut = _beside(((left, top + high), end), -2 * _SEAM)
    shapes = [
        canvas.cloth(canvas.box(left, top, wide, high), source.fill(roles[0])),
        canvas.cloth(canvas.box(left, top, high, high), _back(source.fill(roles[1]))),
        _stitched(((left, top + high), end)),
        _cut_along(_inside(cut, (left, top))),
    ]
    alt = f"A rectangle with a small square on its left end: {caption}"
    return canvas.figure(shapes, wide + 2 * _ROOM, high + 2 * _ROOM, alt, caption)


def _inside(line: Line, corner: Point) -> Line:
    """Shorten a line that cuts off a top left corner to where it meets the edges."""
    (x0, y0), _ = line
    reach = (x0 - corner[0]) + (y0 - corner[1])
    return (corner[0], corner[1] + reach), (corner[0] + reach, corner[1])


def corner_second(source: Source, roles: str, caption: str) -> Figure:
    """Draw the rectangle with one end opened and the second square on the other."""
    wide, high = _SQUARE, _SQUARE / 2 + _SEAM
    left, top = _ROOM, _ROOM
    right, start = left + wide, left + wide - high
    shapes = [
        canvas.cloth(canvas.box(left, top, wide, high), source.fill(roles[0])),
        canvas.cloth(((left, top), (left + high, top), (left, top + high)), source.fill(roles[1])),
        canvas.cloth(canvas.box(start, top, high, high), _back(source.fill(roles[1]))),
        _stitched(((start, top), (right, top + high))),
    ]
    alt = f"A rectangle with one end opened and a small square on the other: {caption}"
    return canvas.figure(shapes, wide + 2 * _ROOM, high + 2 * _ROOM, alt, caption)


def strip_pair(source: Source, role: str, reach: float, caption: str) -> Figure:
    """Draw two layers of strip with the cuts by turns; ``reach`` is in widths of the strip."""
    high, pairs = 0.75, 2
    long, blunt = reach * high, (reach - 1) * high
    left, top = _ROOM, _ROOM
    step, end = long + blunt, pairs * (long + blunt) + 0.3
    shapes = [canvas.cloth(canvas.box(left, top, end, high), _back(source.fill(role)))]
    for pair in range(pairs):
        at = left + pair * step
        slant = (at + blunt, top), (at + long, top + high)
        straight = (at + step, top), (at + step, top + high)
        shapes += [_cut_along(cut) for cut in (slant, straight)]
    alt = f"Two layers of strip with slanted and straight cuts by turns: {caption}"
    return canvas.figure(shapes, end + 2 * _ROOM, high + 2 * _ROOM, alt, caption)


def crossed_halves(source: Source, roles: str, caption: str) -> Figure:
    """Draw a half-square unit with a line across its seam, stitched on both sides."""
    corners = {"a": (0, 0), "b": (1, 0), "c": (1, 1), "d": (0, 1)}

    def at(names: str) -> tuple[Point, ...]:
        return canvas.moved((corners[name] for name in names), (_ROOM, _ROOM), _SQUARE)

    shapes = [
        canvas.cloth(at("abd"), _back(source.fill(roles[0]))),
        canvas.cloth(at("bcd"), _back(source.fill(roles[1]))),
        _sewn_beside(_placed(DOWN)),
    ]
    side = _SQUARE + 2 * _ROOM
    alt = f"A half-square unit with a line across its seam: {caption}"
    return canvas.figure(shapes, side, side, alt, caption)


def bias_square(fill: str, caption: str) -> Figure:
    """Draw the square that bias binding is made from, with its cut."""
    side = _SQUARE + 2 * _ROOM
    shapes = [
        canvas.cloth(canvas.box(_ROOM, _ROOM, _SQUARE, _SQUARE), fill),
        canvas.line(*_placed(DOWN), "0.09 0.05", 0.014),
    ]
    return canvas.figure(shapes, side, side, f"A square with its diagonal: {caption}", caption)


def bias_strip(fill: str, ink: str, rounds: int, caption: str) -> Figure:
    """Draw the square's triangles sewn into a slanted strip, its lines numbered at both ends.

    The long edges are the square's diagonal. Like numbers meet in the tube: the right end is
    moved on by one line.
    """
    long, deep, low = _SQUARE * sqrt(2), _SQUARE / sqrt(2), _ROOM + 0.05
    left, top, bottom = 0.25, low, low + deep
    corners = ((left, top), (left + long, top), (left + long + deep, bottom), (left + deep, bottom))
    shapes = [canvas.cloth(corners, fill), canvas.line(corners[1], corners[3], ink=ink)]
    step = deep / rounds
    for number in range(rounds + 1):
        at = number * step
        start, end = (left + at, top + at), (left + long + at, top + at)
        if 0 < number < rounds:
            shapes.append(canvas.line(start, end, "0.06 0.04", ink=ink))
        if number < rounds:
            shapes.append(canvas.label((start[0] - 0.1, start[1]), str(number + 1), 7.5))
        if number:
            shapes.append(canvas.label((end[0] + 0.1, end[1]), str(number), 7.5))
    return canvas.figure(
        shapes,
        left + long + deep + 0.25,
        bottom + low,
        f"A slanted strip with numbered lines along its long edges: {caption}",
        caption,
    )
