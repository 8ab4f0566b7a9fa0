"""The border, quilting, binding; the page to colour."""

from __future__ import annotations

from dataclasses import replace
from math import sqrt
from typing import TYPE_CHECKING

from api.booklet.chapters.assembly import top_size
from api.booklet.chapters.needs import backing_amount
from api.booklet.figures import triangles
from api.booklet.figures.blocks import bare_block
from api.booklet.figures.quilts import border_figure, layout_figure
from api.booklet.parts import Bullets, Chapter, Figure, Gallery, Heading, Part, Steps, Words
from api.wording import english
from api.wording.pieces import border_name, border_names
from placement.cloth.cutting import PieceKind, Use
from placement.top.setting.finishing import Binding, Run

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.booklet.source import Source

_RUN = {Run.NONE: "", Run.UPRIGHT: "from top to bottom", Run.LEVEL: "from side to side"}
"""How the seams of a pieced backing lie."""


def borders(source: Source) -> Chapter | None:
    """Return the chapter on the borders, from the centre outward; None if there is none."""
    frames = source.book.borders
    if not frames:
        return None
    names = border_names(len(frames))
    rows = tuple(border_line(source, which) for which in range(1, len(frames) + 1))
    sew = _butted if frames[0].corner == "butted" else _mitred
    last = frames[-1]
    wide, high = (source.finished(side) for side in (last.width, last.height))
    steps = (*sew(source, names), f"The quilt top is now {wide} × {high} finished.")
    return Chapter(
        "Border" if len(frames) == 1 else "Borders",
        (
            Words((_reading(source),)),
            Bullets(rows),
            Steps(steps, (border_figure(source, frames),)),
        ),
        new_page=False,
    )


def border_line(source: Source, which: int) -> str:
    """Say what a border takes: its finished width, cloth, strips and lengths to cut."""
    use, frame = Use(PieceKind.BORDER, which), source.book.borders[which - 1]
    name = border_name(which, len(source.book.borders))
    strips = next(piece for piece in source.book.pieces if piece.use == use)
    then = " × ".join(source.finished(side) for side in (frame.width, frame.height))
    return (
        f"{english.capital(name)}, {source.finished(float(frame.finished))} finished, "
        f"{source.name(frame.fabric)}: {strips.count} strips of {source.cut(frame.cut)}. Sides "
        f"{source.cut(frame.sides)}, top and bottom {source.cut(frame.ends)}; the quilt top is "
        f"then {then} finished."
    )


def _reading(source: Source) -> str:
    wide, high = (source.cut(side) for side in top_size(source))
    line = f"Two of each length, for a quilt top of {wide} × {high} with seam allowance; "
    if source.book.borders[0].corner == "butted":
        return line + "cut to the length of your own."
    return line + "if yours differs, change them by as much."


def _join_strips(source: Source, names: tuple[str, ...]) -> str:
    """Say how strips become long enough, if they are not."""
    if all(_whole_sides(source, which) for which in range(1, len(names) + 1)):
        return "Each strip makes one side; none is joined."
    each = " of each border" if len(names) > 1 else ""
    return f"Join the strips{each} end to end and press the seams open."


def _whole_sides(source: Source, which: int) -> bool:
    """Whether every side of a border is cut from one strip."""
    frame, use = source.book.borders[which - 1], Use(PieceKind.BORDER, which)
    strips = [piece for piece in source.book.pieces if piece.use == use]
    longest = max(float(frame.sides), float(frame.ends))
    enough = sum(piece.count for piece in strips) >= _SIDES
    return enough and all(float(piece.width) >= longest for piece in strips)


_SIDES = 4


def _butted(source: Source, names: tuple[str, ...]) -> Iterator[str]:
    """Yield how borders are sewn on one after the other, sides first."""
    first = f"{names[0]} strip" if len(names) > 1 else "border strip"
    yield _join_strips(source, names)
    yield "Measure the quilt top from top to bottom through the middle."
    yield f"Cut two side pieces to that length from the {first}."
    yield "Pin them to the sides, middles and ends matched, and sew."
    yield "Press toward the border."
    yield "Measure from side to side through the middle, side borders included."
    yield "Cut the top and bottom pieces to that length."
    yield "Pin and sew them on in the same way."
    yield "Press toward the border."
    if len(names) > 1:
        yield f"Repeat steps 2 to 9 for the {english.listed(names[1:])}."


def _mitred(source: Source, names: tuple[str, ...]) -> Iterator[str]:
    """Yield how borders become one band a side, are sewn on and mitred all at once."""
    several = len(names) > 1
    band = "band" if several else "border"
    yield _join_strips(source, names)
    yield "Measure the quilt top through the middle, both ways."
    yield "Cut two side pieces and two for top and bottom from every joined strip."
    if several:
        yield (
            "Sew the pieces of each side into one band, in order from the centre outward, middles "
            "matched."
        )
        yield (
            "Press the seams of the side bands outward and those of the top and bottom bands "
            "inward, so that they nest in the mitres."
        )
    yield (
        f"Sew each {band} on, middles matched; start and stop {source.cut(source.seam)} from the "
        "corners of the quilt top."
    )
    yield f"Press toward the {band}."
    yield (
        f"Fold the quilt top at 45° so that two {band}s lie on each other"
        f"{', seams matched' * several}, and sew the mitre from the inner corner outward."
    )
    yield f"Trim the mitre to {source.cut(source.seam)} and press it open."
    yield "Sew the other three corners in the same way."


def quilting(source: Source) -> Chapter:
    """Return the chapter on quilting and binding."""
    return Chapter("Quilt and bind", tuple(_quilting(source)), new_page=False)


def _quilting(source: Source) -> Iterator[Part]:
    way, book = source.book.backing[0], source.book
    length, amount = source.finished(way.panel_length), backing_amount(source)
    yield Heading("Backing")
    cloth = source.name(book.backing_fabric) if book.backing_fabric else "backing"
    steps = [f"Cut {english.number(way.panels, 'length')} of {length} from {amount} of {cloth}."]
    wide, high = (source.finished(side) for side in book.batting)
    if way.panels > 1:
        steps += [
            "Cut off the selvages.",
            f"Sew the lengths side by side; the seams run {_RUN[way.seams]} of the quilt.",
            "Press the seams open.",
            f"Trim it to {wide} × {high}.",
        ]
    steps.append(f"Cut the batting to {wide} × {high}.")
    yield Steps(tuple(steps))
    yield Heading("Quilting")
    yield Steps(
        (
            "Lay the backing face down and smooth it.",
            "Centre the batting on it.",
            "Centre the quilt top on both, face up.",
            "Baste the three layers.",
            _quilt_words(source),
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
        ),
        _bias_figures(source, bound),
    )
    yield Heading("Label")
    yield Words((_LABEL,))


_LABEL = (
    "Sew a label to the back: the quilt's name, who made it and for whom, place and date, what it "
    "is made of and how to wash it."
)


def _quilt_words(source: Source) -> str:
    """Suggest a plain way to quilt that follows the setting (common practice)."""
    pointed = source.layout.setting.kind == "on point"
    lines = "level and upright" if pointed else "slanting both ways"
    return (
        f"Quilt as you like. Plain and sound: straight lines, {lines}, through the corners of the "
        "blocks and half way between, no farther apart than the label of your batting allows."
    )


_MOST_ROUNDS = 9
"""Rounds of a bias strip that are drawn; more could not be told apart."""


def _bias_figures(source: Source, bound: Binding) -> tuple[Figure, ...]:
    """Return the pictures of binding cut on the bias; none for straight strips."""
    if bound.square is None:
        return ()
    fabric = source.book.binding_fabric
    fill, ink = source.colour(fabric), source.ink_on(fabric)
    rounds = int((float(bound.square) - 2 * float(source.seam)) / (sqrt(2) * float(bound.cut)))
    caption = "Lines to cut along; in the tube like numbers meet"
    return (
        triangles.bias_square(fill, "Cut on the diagonal"),
        triangles.bias_strip(fill, ink, max(2, min(rounds, _MOST_ROUNDS)), caption),
    )


def bound_from(source: Source) -> str:
    """Say what the binding is cut from."""
    bound = source.book.binding
    if bound.square is None:
        return f"{english.number(bound.strips, 'strip')} of {source.cut(bound.cut)}"
    use = Use(PieceKind.BIAS_BINDING)
    return source.hand.counted(use, bound.square, bound.square, bound.strips)


def _strip(source: Source, bound: Binding) -> Iterator[str]:
    """Yield how the binding becomes one long strip; on the bias as a tube that is cut round."""
    wide, cloth = source.cut(bound.cut), source.name(source.book.binding_fabric)
    if bound.square is None:
        yield (
            f"Join {bound_from(source)}, {cloth}, with {source.plan.brief.sewing.join} seams; "
            f"{source.cut(bound.length)} are needed in all."
        )
        return
    each, them = ("the square", "") if bound.strips == 1 else ("each square", " of each")
    yield (f"Take {bound_from(source)}, {cloth}; {source.cut(bound.length)} of binding are needed.")
    yield (
        f"Cut {each} once on the diagonal and sew two straight edges{them} together, faces "
        f"together and {source.cut(source.seam)} from the edge, so that the triangles make a "
        "slanted strip."
    )
    yield f"Press the seam open and draw lines {wide} apart, beginning at one long bias edge."
    yield "Trim what is left beyond the last whole line."
    yield (
        "Bring the two short edges together into a tube, faces together and moved on by one line, "
        "so that like numbers meet and one strip's width stands out at each end. Sew them."
    )
    yield "Press the seam open and cut round and round along the line: one long strip."
    if bound.strips > 1:
        yield "Join the strips with diagonal seams."


def colouring(source: Source) -> Chapter:
    """Return a page with the layout as lines, to colour."""
    wide, high = (source.finished(side) for side in source.plan.brief.size())
    alt = f"The quilt as lines to colour, {wide} × {high}."
    shown = layout_figure(source, 6.9, 6.5, alt, numbers=False, bare=True)
    shown = replace(shown, caption=f"The layout without its fabrics, {wide} × {high} finished")
    block = bare_block(source, 1.7)
    return Chapter("To colour", (Gallery((shown, block), across=True),))
