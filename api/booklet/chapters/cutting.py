"""Cutting, fabric by fabric, with drawings to scale and numbered cuts."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from api.booklet.chapters.needs import amount
from api.booklet.parts import Chapter, Figure, Gallery, Heading, Part, Steps, Words
from api.booklet.source import Source, paper_white
from api.drawing.cutting import EDGE, Label, cutting_drawing, cutting_svg
from api.wording import english
from api.wording.cuts import contents as contents_of
from api.wording.cuts import owners, same_for_all, same_strips
from api.wording.cutting import captions
from api.wording.faults import CHECKED
from api.wording.pieces import forms, told_sides, unit_word
from placement.cloth.cutting import Cut, CutKind, CuttingPlan, Piece, PieceKind, Then, Use
from placement.cloth.whole import nothing_cut, taken_whole
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

_NEXT = {Then.CUT_ONCE: "once on the diagonal", Then.CUT_TWICE: "twice, on both diagonals"}

_LEAST_TYPE = 4.5
"""Points; smaller words in a drawing are left out: the steps say the same."""

_WHOLE = (PieceKind.BORDER, PieceKind.BINDING)
"""Pieces that are whole strips."""

_WIDEST, _HIGHEST = 6.3, 4.6
"""Of a cutting drawing on paper, inches."""

_PRE_CUT = 3.5
"""Height of the drawing of one piece of a pre-cut form, inches of paper: much of it may be bare."""


def cutting(source: Source) -> Chapter:
    """Return the chapter on cutting; fabrics that are cut alike share one drawing."""
    parts: list[Part] = [
        Words(
            (
                (
                    "Square up each piece of cloth, then cut strips across it from edge to edge, "
                    "then the pieces from the strips. Numbers in the drawings are the order of the "
                    "cuts; the strips come first. "
                    f"All sizes include the seam allowance of {source.cut(source.seam)}."
                ),
                CHECKED,
            )
        )
    ]
    for group in _alike(source):
        parts += _group(source, group)
    return Chapter("Cutting", tuple(parts), new_page=False)


def _alike(source: Source) -> Iterator[list[CuttingPlan]]:
    """Gather the fabrics that are cut alike, background last."""
    found: dict[object, list[CuttingPlan]] = {}
    for plan in source.book.cloths:
        key = (plan.cloth.form, plan.cloth.count, plan.cuts)
        if plan.cuts:
            found.setdefault(key, []).append(plan)
    yield from found.values()


def _group(source: Source, group: list[CuttingPlan]) -> Iterator[Part]:
    first = next(plan for plan in group if not plan.like)
    if not first.cuts:
        return
    yield Heading(_title(source, group))
    how = amount(source, first)
    total = english.listed(list(_total(source, first)))
    get = "take" if nothing_cut(first) else "cut"
    if len(group) > 1:
        yield Words((f"Fabrics {_fabrics(source, group)}. From each ({how}) {get} {total}.",))
    else:
        yield Words((f"From {how} {get} {total}.",))
    over = same_for_all(group, source.hand, lambda fabrics: _called(source, fabrics))
    if lines := tuple(over):
        yield Words(lines)
    yield Steps(tuple(cut_lines(source, first, _pieces(source, first))))
    if not nothing_cut(first):
        yield Gallery(tuple(drawings(source, first, _title(source, group))))


def _pieces(source: Source, plan: CuttingPlan) -> list[Piece]:
    return [*source.book.asked_of(plan)]


def _fabrics(source: Source, group: list[CuttingPlan]) -> str:
    return _numbered(source, [plan.fabric for plan in group])


def _called(source: Source, fabrics: list[str]) -> str:
    return f"{'fabric' if len(fabrics) == 1 else 'fabrics'} {_numbered(source, fabrics)}"


def _numbered(source: Source, fabrics: list[str]) -> str:
    """List fabrics by their numbers, those that lie in no block by their names."""
    names = {fabric: source.numbers.get(fabric) for fabric in fabrics}
    numbers = english.ranges(sorted(number for number in names.values() if number))
    others = [source.name(fabric) for fabric, number in names.items() if not number]
    return english.listed([*([numbers] if numbers else []), *others])


def _total(source: Source, plan: CuttingPlan) -> Iterator[str]:
    """Say how many pieces one fabric gives in all."""
    for piece in _pieces(source, plan):
        yield source.hand.piece(piece)


def _title(source: Source, group: list[CuttingPlan]) -> str:
    if len(group) == 1:
        number = source.numbers.get(group[0].fabric)
        name = source.name(group[0].fabric)
        return f"Fabric {number}, {name}" if number else name
    return f"Each of {len(group)} fabrics"


def drawings(source: Source, plan: CuttingPlan, name: str) -> Iterator[Figure]:
    """Yield the drawings of a cloth; a long one is drawn in parts, one strip of each kind."""
    if not plan.cloth.form.open_ended and plan.cloth.count == 1:
        yield _drawn(source, name, plan, [])
        return
    kinds = [strips for strips, _ in same_strips(plan)]
    room = _HIGHEST / _WIDEST * (float(plan.cloth.form.width) + 2 * EDGE) - 2 * EDGE
    while kinds:
        taken = [kinds.pop(0)]
        while kinds and sum(float(k[0].height) for k in (*taken, kinds[0])) <= room:
            taken.append(kinds.pop(0))
        yield _drawn(source, name, _each_once(plan, taken), taken)


def _drawn(source: Source, name: str, plan: CuttingPlan, kinds: list[list[Cut]]) -> Figure:
    swatch = source.swatch(plan.fabric).fabric
    colour = paper_white() if source.black else swatch.reads_as
    _, verdict, across = captions(source.plan, source.book, plan)
    metric = source.units == "metric"
    drawing = cutting_drawing(plan, (name, verdict, across), colour, metric=metric)
    highest = _HIGHEST if kinds else _PRE_CUT
    scale = min(_WIDEST / drawing.width, highest / drawing.height)
    labels = (*drawing.labels, *_how_many(kinds, drawing.width))
    readable = tuple(label for label in labels if label.size * scale * 72 >= _LEAST_TYPE)
    alt = f"Cutting drawing of {name}: the cloth with every strip and piece, numbered."
    caption = f"{name}: to scale, sizes in {unit_word(source.units)}"
    if kinds:
        caption += "; on the right, how many strips like this"
    return Figure(
        cutting_svg(replace(drawing, labels=readable)),
        drawing.width * scale,
        drawing.height * scale,
        alt,
        caption,
    )


def _each_once(plan: CuttingPlan, kinds: list[list[Cut]]) -> CuttingPlan:
    """Return a plan with one strip of each of some kinds, from the top of the cloth."""
    owner = owners(plan.cuts)
    members: dict[int, list[Cut]] = {}
    for cut in plan.cuts:
        members.setdefault(owner[cut.number], []).append(cut)
    cuts: list[Cut] = []
    top = Inches(Fraction(0))
    for strip, *_ in kinds:
        for cut in members[strip.number]:
            y = Inches(top.value + cut.y.value - strip.y.value)
            cuts.append(replace(cut, y=y, sheet=0))
        top = Inches(top.value + strip.height.value)
    form = replace(plan.cloth.form, height=None, nominal_height=None)
    cloth = replace(plan.cloth, form=form)
    return replace(plan, cuts=tuple(cuts), used=top, cloth=cloth)


def _how_many(kinds: list[list[Cut]], width: float) -> Iterator[Label]:
    """Yield how often each strip is cut, in the right margin of its drawing."""
    top = EDGE
    for strips in kinds:
        high = float(strips[0].height)
        yield Label(width - EDGE / 2, top + high / 2, f"{len(strips)}×", 0.7, "quiet")
        top += high


def cut_lines(source: Source, plan: CuttingPlan, pieces: Sequence[Piece]) -> Iterator[str]:
    """Yield the steps of cutting one fabric, each with the numbers of its cuts."""
    whole = taken_whole(plan)
    strips = {cut.number for cut in plan.cuts if cut.kind is CutKind.STRIP}
    for same, inside in same_strips(plan):
        taken = [cut for cuts in inside for cut in cuts]
        stacked = any(cut.inside not in strips for cut in taken)
        if whole.issuperset(cut.number for cut in taken):
            yield _uncut(source, plan, taken)
            continue
        contents = contents_of(inside[0])
        yield _line(source, same[0].height, contents, len(same), taken, stacked=stacked)
    yield from _then(source, pieces)


def _uncut(source: Source, plan: CuttingPlan, taken: list[Cut]) -> str:
    """Say that pre-cuts are used whole."""
    told = english.listed([source.hand.counted(*content) for content in contents_of(taken)])
    return f"Use {forms(plan.cloth.form.kind, len(taken))} as they come, uncut: {told}."


def _line(
    source: Source,
    height: Inches,
    contents: tuple[tuple[Use, Inches, Inches, int], ...],
    count: int,
    taken: list[Cut],
    *,
    stacked: bool,
) -> str:
    use, *sides, _ = contents[0]
    if use.kind in _WHOLE:
        wide, long = (source.cut(side) for side in told_sides(use, *sides))
        return (
            f"Cut {english.number(count, 'strip')} {wide} wide and {long} long for the "
            f"{source.hand.strip_for(use)} ({_span(taken)})."
        )
    each = "from it" if count == 1 else "from each"
    pieces = english.listed([source.hand.counted(*content) for content in contents])
    strips = english.number(count, "strip")
    made = f"Cut {strips} {source.cut(height)} wide; {each} cut {pieces} ({_span(taken)})"
    return f"{made}, stacked as drawn." if stacked else f"{made}."


def _span(taken: list[Cut]) -> str:
    numbers = sorted(cut.number for cut in taken)
    return f"cuts {numbers[0]}–{numbers[-1]}" if len(numbers) > 1 else f"cut {numbers[0]}"


def _then(source: Source, pieces: Sequence[Piece]) -> Iterator[str]:
    """Yield what is cut further before sewing: triangles from squares."""
    for piece in pieces:
        if piece.then in _NEXT:
            yield f"Cut each of the {source.hand.piece(piece)} {_NEXT[piece.then]}."
