"""The cutting drawing of one fabric: its cloth to scale, every cut numbered, the waste shown.

Made once as marks in inches, then handed to SVG and PNG.
"""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING, Literal

from PIL import Image, ImageDraw

from api.drawing.scene import grey
from api.drawing.svg import xml_text
from api.drawing.text import font, showable
from palette.colour import Lab, to_srgb
from placement.cloth.cutting import Cut, CutKind, CuttingPlan

if TYPE_CHECKING:
    from collections.abc import Iterator

    from placement.inches import Inches

Ink = Literal["cloth", "waste", "line", "text", "quiet"]

EDGE = 1.6
"""Room for the numbers of the strips, inches of cloth."""
_GAP = 1.2
"""Between two pieces of cloth, inches."""
_LEAST_LABEL = 1.4
"""A piece narrower or lower than this is numbered only, inches."""


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle of cloth."""

    x: float
    """Left edge, inches."""
    y: float
    """Top edge, inches."""
    width: float
    """Inches."""
    height: float
    """Inches."""
    ink: Ink
    """'cloth' for a piece that is kept, 'waste' for what is left over."""

    def holds(self, label: Label) -> bool:
        """Whether the middle of some words lies on it."""
        across = self.x <= label.x <= self.x + self.width
        return across and self.y <= label.y <= self.y + self.height


@dataclass(frozen=True, slots=True)
class Stroke:
    """A straight cut."""

    start: tuple[float, float]
    """Inches."""
    end: tuple[float, float]
    """Inches."""


@dataclass(frozen=True, slots=True)
class Label:
    """Words in the middle of a place."""

    x: float
    """Middle, inches."""
    y: float
    """Middle, inches."""
    text: str
    """What it says."""
    size: float
    """Height of the type, inches."""
    ink: Ink = "text"
    """'text' or 'quiet'."""


@dataclass(frozen=True, slots=True)
class CuttingDrawing:
    """A whole cutting drawing."""

    title: str
    """Fabric and form."""
    words: str
    """The verdict, for those who do not see it."""
    width: float
    """Inches."""
    height: float
    """Inches."""
    boxes: tuple[Box, ...]
    """Waste first, pieces on it."""
    strokes: tuple[Stroke, ...]
    """Edges of strips, from edge to edge."""
    labels: tuple[Label, ...]
    """Numbers and sizes."""
    colour: Lab
    """What the fabric reads as."""


def cutting_drawing(
    plan: CuttingPlan,
    captions: tuple[str, str, str],
    colour: Lab,
    *,
    metric: bool = False,
    larger: float = 1.0,
) -> CuttingDrawing:
    """Return the drawing of one fabric's cuts.

    Parameters
    ----------
    plan : CuttingPlan
        How the fabric is cut.
    captions : tuple of str
        Its title; the verdict, for those who do not see it; what stands along its width.
    colour : Lab
        What it reads as.
    metric : bool
        Whether sizes are written in centimetres.
    larger : float
        Type is so many times its usual height, for wide cloth in a narrow place.
    """
    form = plan.cloth.form
    title, words, across = captions
    sheets = max((c.sheet for c in plan.cuts), default=0) + 1
    wide = float(form.width)
    high = float(form.height) if form.height is not None else float(plan.used)
    edge = EDGE * larger
    tops = [edge + sheet * (high + _GAP) for sheet in range(sheets)]
    boxes = [Box(edge, top, wide, high, "waste") for top in tops]
    strokes: list[Stroke] = []
    labels: list[Label] = [Label(edge + wide / 2, tops[0] - edge / 2, across, 0.44 * edge, "quiet")]
    for entry in plan.cuts:
        left, top = edge + float(entry.x), tops[entry.sheet] + float(entry.y)
        if entry.kind is CutKind.STRIP:
            bottom = top + float(entry.height)
            strokes.append(Stroke((edge, bottom), (edge + wide, bottom)))
            labels.append(_strip_label(entry, edge, top, metric))
        elif entry.kind is CutKind.PIECE:
            boxes.append(Box(left, top, float(entry.width), float(entry.height), "cloth"))
            labels.extend(_piece_labels(entry, left, top, metric, larger))
    return CuttingDrawing(
        title,
        words,
        wide + 2 * edge,
        tops[-1] + high + edge / 2,
        tuple(boxes),
        tuple(strokes),
        tuple(labels),
        colour,
    )


def _size(cut: Inches, metric: bool) -> str:
    return f"{round(cut.mm / 10, 2):g}" if metric else str(cut)


def _strip_label(entry: Cut, edge: float, top: float, metric: bool) -> Label:
    middle, high = top + float(entry.height) / 2, float(entry.height)
    text = _size(entry.height, metric)
    return Label(
        edge / 2, middle, text, min(0.34 * edge, 0.8 * high, 1.9 * edge / len(text)), "quiet"
    )


def _piece_labels(
    entry: Cut, left: float, top: float, metric: bool, larger: float
) -> Iterator[Label]:
    wide, high = float(entry.width), float(entry.height)
    x, y = left + wide / 2, top + high / 2
    roomy = min(wide, high) >= _LEAST_LABEL * larger and wide >= 2
    numbered = min(0.7 * larger, 0.6 * high, 0.4 * wide)
    yield Label(x, y - (0.35 * larger if roomy else 0), str(entry.number), numbered)
    if roomy:
        size = f"{_size(entry.width, metric)} x {_size(entry.height, metric)}"
        yield Label(x, y + 0.4 * larger, size, min(0.5 * larger, wide / len(size) * 1.6), "quiet")


def _inks(colour: Lab) -> dict[Ink, tuple[int, int, int]]:
    """Choose inks that can be read on the fabric's colour."""
    light = colour.lightness > 55
    return {
        "cloth": to_srgb(colour),
        "waste": grey(Lab(93, 0, 0)),
        "line": grey(Lab(15 if light else 100, 0, 0)),
        "text": grey(Lab(10 if light else 98, 0, 0)),
        "quiet": grey(Lab(10 if light else 98, 0, 0)),
    }


def cutting_svg(drawing: CuttingDrawing) -> str:
    """Return the drawing as an SVG document, one unit an inch of cloth."""
    inks = {name: "#{:02x}{:02x}{:02x}".format(*rgb) for name, rgb in _inks(drawing.colour).items()}
    wide, high = f"{drawing.width:g}", f"{drawing.height:g}"
    lines = [
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{wide}in" '
            f'height="{high}in" role="img">'
        ),
        f"<title>{xml_text(drawing.title)}</title>",
        f"<desc>{xml_text(drawing.words)}</desc>",
    ]
    for box in drawing.boxes:
        edge = inks["line"] if box.ink == "cloth" else "#767676"
        lines.append(
            f'<rect x="{box.x:g}" y="{box.y:g}" width="{box.width:g}" height="{box.height:g}" '
            f'fill="{inks[box.ink]}" stroke="{edge}" stroke-width="0.04"/>'
        )
    for stroke in drawing.strokes:
        (x0, y0), (x1, y1) = stroke.start, stroke.end
        lines.append(
            f'<path d="M{x0:g} {y0:g}L{x1:g} {y1:g}" stroke="#333333" stroke-width="0.08"/>'
        )
    lines.extend(
        f'<text x="{label.x:g}" y="{label.y:g}" font-size="{label.size:g}" '
        f'font-family="Fira Sans, Helvetica, Arial, sans-serif" text-anchor="middle" '
        f'dominant-baseline="central" '
        f'fill="{_label_ink(label, drawing, inks)}">{xml_text(label.text)}</text>'
        for label in drawing.labels
    )
    return "\n".join([*lines, "</svg>"]) + "\n"


def _on_cloth(label: Label, drawing: CuttingDrawing) -> bool:
    return any(box.ink == "cloth" and box.holds(label) for box in drawing.boxes)


def _label_ink(label: Label, drawing: CuttingDrawing, inks: dict[Ink, str]) -> str:
    return inks[label.ink] if _on_cloth(label, drawing) else "#333333"


def cutting_png(drawing: CuttingDrawing, width: int = 1600) -> bytes:
    """Return the drawing as PNG bytes, ``width`` pixels across."""
    scale = width / drawing.width
    image = Image.new("RGB", (width, max(1, round(drawing.height * scale))), "white")
    draw = ImageDraw.Draw(image)
    inks = _inks(drawing.colour)
    for box in drawing.boxes:
        corners = [box.x, box.y, box.x + box.width, box.y + box.height]
        edge = inks["line"] if box.ink == "cloth" else (118, 118, 118)
        draw.rectangle([part * scale for part in corners], inks[box.ink], edge)
    for stroke in drawing.strokes:
        points = [part * scale for part in (*stroke.start, *stroke.end)]
        draw.line(points, (51, 51, 51), max(1, round(0.08 * scale)))
    for label in drawing.labels:
        ink = inks[label.ink] if _on_cloth(label, drawing) else (51, 51, 51)
        face = font(max(8, round(label.size * scale)))
        draw.text((label.x * scale, label.y * scale), showable(label.text), ink, face, anchor="mm")
    out = BytesIO()
    image.save(out, "PNG")
    return out.getvalue()
