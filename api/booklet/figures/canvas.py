"""Small figures in inches of paper: cloth, cuts, arrows and labels as SVG."""

from __future__ import annotations

from math import atan2, cos, hypot, pi, sin
from typing import TYPE_CHECKING

from api.booklet.parts import Figure
from api.drawing.svg import xml_text

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from api.drawing.scene import Point

LINE = "#3a3a3a"
PALE = "#c9c9c9"
FACE = "Fira Sans, Helvetica, Arial, sans-serif"

LABEL = 8.0
"""Points; the type of labels in figures."""
_POINT = 1 / 72


def number(value: float) -> str:
    """Write a number to a ten-thousandth, as short as can be."""
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _corners(points: Iterable[Point]) -> str:
    return " ".join(f"{number(x)},{number(y)}" for x, y in points)


def cloth(points: Iterable[Point], fill: str, edge: str = LINE, width: float = 0.008) -> str:
    """Draw a piece of cloth."""
    return (
        f'<polygon points="{_corners(points)}" fill="{fill}" stroke="{edge}" '
        f'stroke-width="{number(width)}" stroke-linejoin="round"/>'
    )


def box(x: float, y: float, width: float, height: float) -> tuple[Point, ...]:
    """Return the corners of a rectangle, clockwise from the top left."""
    return (x, y), (x + width, y), (x + width, y + height), (x, y + height)


def line(start: Point, end: Point, dash: str = "", width: float = 0.01, ink: str = LINE) -> str:
    """Draw a line: a drawn one, or stitches and cuts when it is dashed."""
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<path d="M{number(start[0])} {number(start[1])}L{number(end[0])} {number(end[1])}" '
        f'stroke="{ink}" stroke-width="{number(width)}" fill="none"{dashed}/>'
    )


def stitches(start: Point, end: Point) -> str:
    """Draw a line of stitches."""
    return line(start, end, "0.05 0.035", 0.014)


def drawn(start: Point, end: Point) -> str:
    """Draw a line that is marked on the cloth and cut later."""
    return line(start, end, "", 0.009)


def label(
    at: Point, text: str, size: float = LABEL, ink: str = LINE, anchor: str = "middle"
) -> str:
    """Write a word with its middle (or its start, or its end) at a point."""
    # A third of the type's height below the middle: capitals then stand centred.
    y = at[1] + 0.35 * size * _POINT
    return (
        f'<text x="{number(at[0])}" y="{number(y)}" font-family="{FACE}" text-anchor="{anchor}" '
        f'font-size="{number(size * _POINT)}" fill="{ink}">{xml_text(text)}</text>'
    )


def arrow(middle: Point, toward: Point, length: float = 0.2, ink: str = "#000000") -> str:
    """Draw the arrow that tells which way a seam is pressed, on a pale ground."""
    far = hypot(*toward)
    dx, dy = toward[0] / far, toward[1] / far
    half = length / 2
    tail = middle[0] - half * dx, middle[1] - half * dy
    tip = middle[0] + half * dx, middle[1] + half * dy
    angle = atan2(dy, dx)
    wings = [
        (tip[0] - 0.085 * cos(angle + turn), tip[1] - 0.085 * sin(angle + turn))
        for turn in (pi / 7, -pi / 7)
    ]
    neck = tip[0] - 0.06 * dx, tip[1] - 0.06 * dy
    return (
        line(tail, neck, width=0.055, ink="#ffffff")
        + cloth((tip, wings[0], wings[1]), ink, "#ffffff", 0.018)
        + line(tail, neck, width=0.022, ink=ink)
    )


def middle(points: Sequence[Point]) -> Point:
    """Return the centre of some corners."""
    return sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)


def moved(points: Iterable[Point], by: Point, scale: float = 1.0) -> tuple[Point, ...]:
    """Return corners scaled, then moved."""
    return tuple((x * scale + by[0], y * scale + by[1]) for x, y in points)


def figure(
    parts: Iterable[str], width: float, height: float, alt: str, caption: str = ""
) -> Figure:
    """Return a figure of that size on paper, its parts drawn in inches from the top left."""
    across, down = number(width), number(height)
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {across} {down}" '
        f'width="{across}in" height="{down}in">{"".join(parts)}</svg>'
    )
    return Figure(svg, width, height, alt, caption)
