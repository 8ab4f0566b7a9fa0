"""A scene as an SVG, one unit an inch.

No style sheet, no script and nothing from outside, so that it may stand in a
page with a strict content policy, be saved, or be opened in a drawing program.
"""

from __future__ import annotations

import re
from base64 import b64encode
from io import BytesIO
from itertools import groupby
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

from api.drawing.cloth import lie, load_print, repeats
from api.drawing.scene import Material, Point, Scene, Shape, View, check_view, seams
from api.drawing.stitch import STROKES

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

_DENSITY = 50.0
"""Most pixels an inch of cloth: sharp at ten times the size of a screen, and light to load."""

_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")

_OVERLAP = 1.002
"""Repeats of a picture are this much larger than their place, so that no gap shows."""


def svg(scene: Scene, pictures: Mapping[str, bytes], view: str) -> str:
    """Draw a scene as an SVG document.

    Every block is a group with the attribute data-cell, its index in
    setting.cells(), and a title that names its fabric.

    Parameters
    ----------
    scene : Scene
        What to draw.
    pictures : Mapping[str, bytes]
        JPEG bytes by name; a fabric without its picture is drawn in its flat colour.
    view : str
        'cloth', 'flat' or 'grey'.

    Raises
    ------
    ValueError
        If there is no such view.
    """
    kind = check_view(view)
    width, height = _number(scene.width), _number(scene.height)
    shown = pictures if kind == "cloth" else {}
    prints = {
        cloth.id: _Print(f"cloth-{number}", cloth, shown[cloth.picture])
        for number, cloth in enumerate(scene.cloths)
        if cloth.picture in shown and scene.pattern_shows(cloth)
    }
    lines = [
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" '
            f'width="{width}in" height="{height}in" role="img">'
        ),
        f"<title>{xml_text(scene.title)}</title>",
        f"<desc>{xml_text(scene.words)}</desc>",
        "<defs>",
        *(entry.image() for entry in prints.values()),
        "</defs>",
        *_groups(scene, kind, prints),
        *_seams(scene, kind),
        "</svg>",
    ]
    return "\n".join(lines) + "\n"


class _Print:
    """A cloth's picture, stored once in the document and shown by reference."""

    def __init__(self, name: str, cloth: Material, picture: bytes) -> None:
        image, width, height = load_print(cloth, picture, _DENSITY)
        out = BytesIO()
        image.save(out, "JPEG", quality=90)
        self.name, self.shows, self.picture = name, (width, height), out.getvalue()

    def image(self) -> str:
        """Return the picture as an element that references can repeat."""
        width, height = map(_number, self.shows)
        data = b64encode(self.picture).decode()
        return (
            f'<image id="{self.name}" width="{width}" height="{height}" '
            f'preserveAspectRatio="none" href="data:image/jpeg;base64,{data}"/>'
        )

    def under(self, piece: Shape) -> Iterator[str]:
        """Show every repeat of the picture that lies under a piece."""
        width, height = self.shows
        a, b, c, d, e, f = lie(piece, width, height)
        for column, row in repeats(piece, width, height):
            # The picture's own corner and direction within the cloth, mirrored every other time.
            flip_x, flip_y = (-1 if column % 2 else 1), (-1 if row % 2 else 1)
            left, top = (column + column % 2) * width - c, (row + row % 2) * height - f
            grow = _OVERLAP - 1
            left -= flip_x * grow * width / 2
            top -= flip_y * grow * height / 2
            x, y = a * left + d * top, b * left + e * top
            numbers = (
                a * flip_x * _OVERLAP,
                b * flip_x * _OVERLAP,
                d * flip_y * _OVERLAP,
                e * flip_y * _OVERLAP,
                x,
                y,
            )
            matrix = " ".join(_number(value) for value in numbers)
            yield f'<use href="#{self.name}" transform="matrix({matrix})"/>'


def _groups(scene: Scene, view: View, prints: Mapping[str, _Print]) -> Iterator[str]:
    colours = scene.colours(view)
    numbered = enumerate(scene.pieces)
    for cell, members in groupby(numbered, key=lambda entry: entry[1].cell):
        if cell is None:
            yield "<g>"
        else:
            label = scene.labels[cell] if cell < len(scene.labels) else ""
            yield f'<g data-cell="{cell}"><title>{xml_text(label)}</title>'
        for number, piece in members:
            fill = "#{:02x}{:02x}{:02x}".format(*colours.get(piece.fabric, colours[""]))
            yield from _piece(piece, number, fill, prints.get(piece.fabric))
        yield "</g>"


def _piece(piece: Shape, number: int, fill: str, cloth: _Print | None) -> Iterator[str]:
    corners = " ".join(f"{_number(x)},{_number(y)}" for x, y in piece.points)
    yield f'<polygon points="{corners}" fill="{fill}"/>'
    if cloth is not None:
        yield f'<clipPath id="piece-{number}"><polygon points="{corners}"/></clipPath>'
        yield f'<g clip-path="url(#piece-{number})">' + "".join(cloth.under(piece)) + "</g>"


def _seams(scene: Scene, view: View) -> Iterator[str]:
    """Draw all seams as one path a stroke: where lines cross, they do not add up."""
    path = "".join(_segment(*ends) for ends in seams(scene))
    yield '<g fill="none" stroke="#000" stroke-linecap="round" pointer-events="none">'
    for stroke in STROKES[view]:
        yield f'<path stroke-width="{stroke.width}" stroke-opacity="{stroke.opacity}" d="{path}"/>'
    yield "</g>"


def _segment(first: Point, last: Point) -> str:
    return f"M{_number(first[0])} {_number(first[1])}L{_number(last[0])} {_number(last[1])}"


def _number(value: float) -> str:
    """Write a number to a ten-thousandth of an inch, as short as can be."""
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def xml_text(words: str) -> str:
    """Escape text, and drop what XML 1.0 can't hold (its production 2, Char)."""
    return escape(_NOT_XML.sub("", words))
