"""The border, quilting, binding; the page to colour; the page that checks the print."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from api.booklet import canvas, words
from api.booklet.needs import backing_amount
from api.booklet.parts import Chapter, Figure, Gallery, Heading, Part, Steps, Words
from api.booklet.quilts import border_figure, layout_figure
from api.booklet.source import Source
from api.cutbook import border_names
from api.summary import size
from placement.inches import MM_PER_INCH
from placement.top.finishing import Binding, Border


def borders(source: Source) -> Chapter | None:
    """Return the chapter on the borders, from the centre outward; None if there is none."""
    frames = source.book.borders
    if not frames:
        return None
    names = border_names(len(frames))
    titles = [
        f"{words.capital(name)}, {source.finished(float(frame.finished))} finished"
        for name, frame in zip(names, frames, strict=True)
    ]
    if len(frames) == 1:
        return Chapter(titles[0], (_border(source, names[0], frames[0]),))
    parts: list[Part] = []
    for title, name, frame in zip(titles, names, frames, strict=True):
        parts += [Heading(title), _border(source, name, frame)]
    return Chapter("Borders", tuple(parts))


def _border(source: Source, name: str, frame: Border) -> Steps:
    """Return how one border is sewn on."""
    strips = next(piece for piece in source.book.pieces if piece.name == f"{name} strip")
    wide, high = (source.finished(side) for side in (frame.width, frame.height))
    join = (
        f"Join {words.several(strips.count, strips.name)} of {source.cut(frame.cut)}, "
        f"{source.name(frame.fabric)}, end to end."
    )
    sides, ends = source.cut(frame.sides), source.cut(frame.ends)
    steps: tuple[str, ...]
    if frame.corner == "butted":
        steps = (
            join,
            "Measure the quilt top from top to bottom through the middle.",
            f"Cut two side borders to that length, about {sides}.",
            "Sew them to the sides.",
            "Press toward the border.",
            "Measure from side to side through the middle, side borders included.",
            f"Cut the top and bottom borders to that length, about {ends}.",
            "Sew them on.",
            "Press toward the border.",
            f"The quilt top is now {wide} × {high} finished.",
        )
    else:
        steps = (
            join,
            "Measure the quilt top through the middle, both ways.",
            f"Cut two side borders, about {sides}, and two for top and bottom, about {ends}.",
            "Sew each on, centred, and stop a seam allowance before each corner.",
            "Fold each corner at 45° and sew the mitre from the inside out.",
            "Trim the mitres and press them open.",
            f"The quilt top is now {wide} × {high} finished.",
        )
    return Steps(steps, (border_figure(source, frame),))


def quilting(source: Source) -> Chapter:
    """Return the chapter on quilting and binding."""
    return Chapter("Quilt and bind", tuple(_quilting(source)), new_page=not source.book.borders)


def _quilting(source: Source) -> Iterator[Part]:
    way, book = source.book.backing[0], source.book
    length, amount = source.finished(way.panel_length), backing_amount(source, way)
    yield Heading("Backing")
    cloth = source.name(book.backing_fabric) if book.backing_fabric else "backing"
    steps = [f"Cut {words.several(way.panels, 'length')} of {length} from {amount} of {cloth}."]
    if way.panels > 1:
        steps += [
            "Cut off the selvages.",
            f"Sew the lengths side by side; the seams run {way.seams} on the quilt.",
            "Press the seams open.",
        ]
    wide, high = (source.finished(side) for side in book.batting)
    steps.append(f"Cut the batting to {wide} × {high}.")
    yield Steps(tuple(steps))
    yield Heading("Quilting")
    yield Steps(
        (
            "Lay the backing face down and smooth it.",
            "Centre the batting on it.",
            "Centre the quilt top on both, face up.",
            "Baste the three layers.",
            "Quilt as you like.",
            "Trim batting and backing even with the quilt top.",
        )
    )
    bound = book.binding
    yield Heading("Binding")
    yield Steps(
        (
            *_strip(source, bound),
            "Press the binding in half along its length, face out.",
            f"Sew it to the front, raw edges even, with a {source.cut(source.seam)} seam.",
            "Mitre the corners as you come to them.",
            "Join the ends.",
            "Fold it to the back and sew it down.",
        )
    )


def bound_from(source: Source) -> str:
    """Say what the binding is cut from."""
    bound, units = source.book.binding, source.units
    if bound.square is None:
        return f"{words.several(bound.strips, 'strip')} of {source.cut(bound.cut)}"
    name = "square for bias binding"
    return words.counted(name, bound.square, bound.square, bound.strips, units)


def _strip(source: Source, bound: Binding) -> Iterator[str]:
    """Yield how the binding becomes one long strip; on the bias as a tube that is cut round."""
    wide = source.cut(bound.cut)
    if bound.square is None:
        yield (
            f"Join {bound_from(source)} with {source.plan.brief.sewing.join} seams; "
            f"{source.cut(bound.length)} are needed."
        )
        return
    yield f"Take {bound_from(source)}; {source.cut(bound.length)} of binding are needed."
    yield (
        f"Cut each square once on the diagonal and sew two of its straight edges together, "
        f"{source.cut(source.seam)} from the edge, so that the triangles make a slanted strip."
    )
    yield f"Press the seam open and draw lines {wide} apart along the long bias edges."
    yield (
        "Bring the two short edges together into a tube, moved on by one line, faces together, "
        "and sew them."
    )
    yield "Press the seam open and cut round and round along the line: one long strip."
    if bound.strips > 1:
        yield "Join the strips with diagonal seams."


def colouring(source: Source) -> Chapter:
    """Return a page with the layout as lines, to colour."""
    wide, high = (source.finished(side) for side in size(source.plan.brief))
    alt = f"The quilt as lines to colour, {wide} × {high}."
    shown = layout_figure(source, 6.3, 7.4, alt, numbers=False, bare=True)
    shown = replace(shown, caption=f"The layout without its fabrics, {wide} × {high} finished")
    return Chapter("To colour", (Gallery((shown,)),))


def print_scale(source: Source) -> Chapter:
    """Return the page that says how to check the print."""
    return Chapter(
        "Check the print",
        (
            Words(
                (
                    "Print this page at 100 % (actual size, no fitting to the page). Measure both "
                    "squares with a ruler. If either is off, change the scale in the print window "
                    "and print this page again.",
                )
            ),
            Gallery(
                (_square(1.0, "One inch"), _square(float(20 / MM_PER_INCH), "Two centimetres"))
            ),
        ),
    )


def _square(side: float, caption: str) -> Figure:
    edge = 0.012
    whole = side + 2 * edge
    shape = canvas.cloth(canvas.box(edge, edge, side, side), "#ffffff", "#000000", edge)
    return canvas.figure([shape], whole, whole, f"A square of {caption.lower()}", caption)
