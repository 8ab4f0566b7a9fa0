"""The cut book in words: a text to print and take to the cutting table."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from api.wording.english import capital, listed, number
from api.wording.faults import verdict
from api.wording.pieces import Hand, border_name, form_name, hand
from api.wording.pressing import pressing_words
from api.wording.verdict import beside, problems, sentence
from placement.cloth.cutting import Cut, CutKind, CuttingPlan, PieceKind, Use
from placement.cloth.pieces import Note, NoteKind, StripSet
from placement.cloth.whole import taken_whole
from placement.cloth.yardage import EIGHTH_YARD, TEN_CENTIMETRES, to_buy
from placement.inches import Inches
from placement.sizes import round_up
from placement.top.setting.finishing import (
    Backing,
    Binding,
    Border,
    OwnSquare,
    Run,
    SettingSquares,
    Triangle,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from api.pattern.brief import Brief
    from api.pattern.cut_book import CutBook
    from api.pattern.plan import Plan

CAUTIONS = (
    (
        "Close the rotary cutter after every cut, cut away from your body, keep fingers off the "
        "ruler's edge, wear shoes, and change a dull blade."
    ),
    "Stand the iron upright, keep hands clear of steam, and unplug it when done.",
    "Keep fingers clear of the needle and never sew over pins.",
    "Test reds and darks for bleeding; wash all of the fabrics or none. Small pre-cuts may fray.",
    (
        "Young people cut and press with an adult beside them. Follow your tools' instructions and "
        "the rules that hold where you are."
    ),
)
"""Common practice; a crib quilt adds its own (see cautions)."""

CRIB_SIDE = 54.0
"""A quilt no longer than this may end in a crib, inches."""

CRIB = (
    "A quilt of this size may end in a crib: no soft bedding belongs in a crib with an infant "
    "under 12 months (CPSC, 8 April 1999)."
)


def cautions(plan: Plan) -> tuple[str, ...]:
    """Return the cautions that belong beside the cutting of this plan."""
    return (*CAUTIONS, CRIB) if max(plan.brief.size()) <= CRIB_SIDE else CAUTIONS


def cutting_text(plan: Plan, book: CutBook) -> str:
    """Return the whole cut book as text, ending in a newline."""
    told = hand(plan, book)
    around = (f"{what}: {much}." for what, much in finishing(plan, book))
    parts = [
        [plan.brief.title, "=" * len(plan.brief.title),
         *problem_lines(plan, book), *notes(plan, book, told)],
        [verdict(book)],
        ["Before you cut", *(f"- {line}" for line in cautions(plan))],
        *_cloths(plan, book.cloths, told),
        list(_headed("Strip sets", strip_sets(plan, book.strip_sets))),
        list(_headed("Sashing", sashing(plan, book))),
        list(_headed("Setting triangles", setting(plan, book))),
        list(_headed("Around the blocks", around)),
        ["Pressing", pressing_words(book.pressing)],
    ]  # fmt: skip
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def _headed(heading: str, lines: Iterable[str]) -> Iterator[str]:
    """Put a heading over lines, if there are any."""
    for count, line in enumerate(lines):
        if not count:
            yield heading
        yield f"- {line}"


def problem_lines(plan: Plan, book: CutBook) -> tuple[str, ...]:
    """Return what is wrong with every cloth that does not suffice, by the fabric's name."""
    short = book.problems
    names = [_name(plan, entry.fabric) for entry in short]
    return tuple(problems(short, names, hand(plan, book)))


def notes(plan: Plan, book: CutBook, told: Hand) -> tuple[str, ...]:
    """Return what the maker should know, in sentences."""
    return tuple(_note(plan, note, told) for note in book.notes)


def _note(plan: Plan, note: Note, told: Hand) -> str:
    block = plan.brief.pattern().name
    if note.kind is NoteKind.PARTIAL_SEAM:
        return f"{block} needs a partial seam: no seam runs right across it."
    lengths = told.lengths
    if note.kind is NoteKind.SEAM_OFF_RULER:
        usual = " or ".join(lengths.cut(Inches.parse(seam)) for seam in ("6 mm", "7.5 mm"))
        return (
            "With this seam allowance all sizes to cut fall between the ruler's millimetres; one "
            f"of {usual} keeps to them."
        )
    marks = "millimetres" if lengths.units == "metric" else "sixteenths"
    near = " or ".join(lengths.cut(size) for size in note.near)
    side = lengths.cut(plan.brief.setting.block_size)
    return (
        f"Parts of {block.lower()} at {side} fall between the "
        f"ruler's {marks}; a block of {near} is easier to cut."
    )


def captions(plan: Plan, book: CutBook, cloth: CuttingPlan) -> tuple[str, str, str]:
    """Return a drawing's title, its verdict, and what stands along the cloth's width."""
    told, form = hand(plan, book), cloth.cloth.form
    title = f"{_name(plan, cloth.fabric)}, {form_name(form.kind)}"
    return title, sentence(cloth, told), f"{told.lengths.cut(form.width)} usable"


def _name(plan: Plan, fabric: str) -> str:
    return plan.swatch(fabric).fabric.name


def _cloths(plan: Plan, cloths: tuple[CuttingPlan, ...], told: Hand) -> Iterator[list[str]]:
    """Yield a part for each fabric; fabrics that are cut alike share one."""
    alike: dict[object, list[CuttingPlan]] = {}
    for cloth in cloths:
        key = (cloth.cloth.form, cloth.cloth.count, cloth.cuts, sentence(cloth, told))
        alike.setdefault(key, []).append(cloth)
    for group in alike.values():
        names = [_name(plan, cloth.fabric) for cloth in group]
        form = form_name(group[0].cloth.form.kind)
        if len(names) == 1:
            heading = f"{names[0]}, {form}"
        else:
            heading = f"Each of {len(names)} fabrics, {form}: {', '.join(names)}"
        lines = (f"- {words}" for _, words in cut_steps(group[0], told))
        over = same_for_all(group, told, lambda fabrics: listed(_name(plan, f) for f in fabrics))
        yield [heading, sentence(group[0], told), *beside(group[0], told), *over, *lines]


def same_for_all(
    group: Sequence[CuttingPlan], told: Hand, names: Callable[[list[str]], str]
) -> Iterator[str]:
    """Say that fabrics of which some need fewer pieces are cut alike, and what is over.

    Parameters
    ----------
    group : sequence of CuttingPlan
        Fabrics with the same cuts.
    told : Hand
        How they are written.
    names : callable
        Returns what fabrics are called, from their ids.
    """
    if not any(cloth.like for cloth in group):
        return
    over: dict[str, list[str]] = {}
    for cloth in group:
        if cloth.surplus:
            pieces = listed(told.piece(piece, count) for piece, count in cloth.surplus)
            over.setdefault(pieces, []).append(cloth.fabric)
    if not over:
        yield "The same for all: longer strips serve as shorter ones."
    for pieces, fabrics in over.items():
        yield f"The same for all; {pieces} over from {names(fabrics)}."


def cut_steps(cloth: CuttingPlan, told: Hand) -> Iterator[tuple[str, str]]:
    """Yield the cuts of one fabric, a line for strips that are cut alike.

    Each comes with the numbers its pieces have in the drawing.
    """
    whole = taken_whole(cloth)
    for same, cuts in same_strips(cloth):
        numbers = [cut.number for inside in cuts for cut in inside]
        if whole.issuperset(numbers):
            name, contents = form_name(cloth.cloth.form.kind, len(same)), _of_all(cuts, told)
            yield _span(numbers), f"Use {len(same)} {name} as they come, uncut: {contents}."
            continue
        contents = ", ".join(_contents(cuts[0], told))
        strips, high = number(len(same), "strip"), told.lengths.cut(same[0].height)
        yield (
            _span(numbers),
            f"Cut {strips} {high} high{_how(cloth, len(same), cuts[0])} {contents}.",
        )


def _of_all(cuts: Iterable[Iterable[Cut]], told: Hand) -> str:
    """Say what strips that are cut alike give in all."""
    return ", ".join(_contents((cut for inside in cuts for cut in inside), told))


def _how(cloth: CuttingPlan, strips: int, inside: list[Cut]) -> str:
    """Say how strips are sub-cut: not at all, in halves at the fold, or piece by piece."""
    each = "from it" if strips == 1 else "from each"
    halves = {cut.width.value * 2 for cut in inside} == {cloth.cloth.form.width.value}
    if halves and len(inside) == 2:
        which = "it" if strips == 1 else "all"
        return f", halve {which} at the fold; {each}"
    return f"; {each}"


def same_strips(cloth: CuttingPlan) -> Iterator[tuple[list[Cut], list[list[Cut]]]]:
    """Yield the strips of a plan that are cut alike, and the pieces in each of them."""
    owner = owners(cloth.cuts)
    inside: dict[int, list[Cut]] = {}
    for entry in cloth.cuts:
        if entry.kind is CutKind.PIECE:
            inside.setdefault(owner[entry.number], []).append(entry)

    def alike(strip: Cut) -> object:
        return strip.height, contents(inside[strip.number])

    strips = (e for e in cloth.cuts if e.kind is CutKind.STRIP and e.number in inside)
    for _, group in groupby(strips, alike):
        same = list(group)
        yield same, [inside[strip.number] for strip in same]


def owners(cuts: Iterable[Cut]) -> dict[int, int]:
    """Return the number of the strip that each cut lies in; a strip lies in itself."""
    order = (CutKind.STRIP, CutKind.STACK, CutKind.PIECE)
    found: dict[int, int] = {}
    for cut in sorted(cuts, key=lambda cut: order.index(cut.kind)):
        found[cut.number] = cut.number if cut.kind is CutKind.STRIP else found[cut.inside]
    return found


def contents(cuts: Iterable[Cut]) -> tuple[tuple[Use, Inches, Inches, int], ...]:
    """Return what pieces of a strip are for, their size as asked for, and how many there are."""
    tally: dict[tuple[Use, Inches, Inches], int] = {}
    for cut in cuts:
        if cut.use is not None:
            key = (cut.use, *cut.size)
            tally[key] = tally.get(key, 0) + 1
    return tuple((*piece, count) for piece, count in tally.items())


def _contents(cuts: Iterable[Cut], told: Hand) -> Iterator[str]:
    for use, width, height, count in contents(cuts):
        yield told.counted(use, width, height, count)


def _span(numbers: list[int]) -> str:
    """Write the numbers of cuts that follow each other: '5 to 8'."""
    if len(numbers) < 2:
        return "".join(str(each) for each in numbers)
    return f"{min(numbers)} to {max(numbers)}"


def strip_sets(plan: Plan, sets: tuple[StripSet, ...]) -> Iterator[str]:
    """Yield a line for each kind of strip set; fabrics whose sets are alike share one."""
    alike: dict[tuple[str, str], list[str]] = {}
    for entry in sets:
        features = sorted({fabric for fabric, _ in entry.strips} - {plan.background})
        stand_in = dict.fromkeys(features, "fabric") if len(features) == 1 else {}
        key = _sewn(plan, entry, stand_in), _sewn(plan, entry, {})
        alike.setdefault((key[0], "") if stand_in else key, []).append(key[1])
    for (general, _), each in alike.items():
        several = len(each) > 1
        yield f"For each of {len(each)} fabrics: {general}" if several else each[0]


def _sewn(plan: Plan, entry: StripSet, stand_in: dict[str, str]) -> str:
    cut = hand(plan).lengths.cut
    strips = " + ".join(
        f"{stand_in.get(fabric) or _name(plan, fabric)} {cut(width)}"
        for fabric, width in entry.strips
    )
    slices = number(entry.slices, "slice")
    return (
        f"sew {number(len(entry.sets), 'set')} of {strips}; cut {slices} of {cut(entry.sub_cut)}."
    )


def sashing(plan: Plan, book: CutBook) -> Iterator[str]:
    """Yield a line for each kind of strip and cornerstone, and how they are pressed."""
    found, told = book.sashing, hand(plan, book)
    if found is None:
        return
    wide = found.cut[1]
    yield f"{told.counted(Use(PieceKind.SASH), *found.cut, found.strips)}, one block long."
    if found.long:
        cut = told.lengths.cut
        lengths = ", ".join(f"{count} of {cut(long)}" for long, count in found.long)
        pointed = plan.brief.setting.kind == "on point"
        trimmed = ", and trim them with the quilt's edges" * pointed
        yield (
            f"Long sashing strips between the rows: {lengths}; join strips where the cloth is "
            f"not as wide{trimmed}."
        )
    if found.cornerstones:
        yield f"{told.counted(Use(PieceKind.CORNERSTONE), wide, wide, found.cornerstones)}."
    if found.half_cornerstones:
        square = found.half_square
        use = Use(PieceKind.HALF_CORNERSTONE)
        yield (
            f"{number(found.half_cornerstones, 'half cornerstone')} at the quilt's edge: cut "
            f"{told.counted(use, square, square, found.half_squares)}, each twice on the "
            "diagonals, which puts the straight grain on the quilt's edge."
        )
    if found.cornerstones or found.half_cornerstones:
        yield "Press toward the strips, in the rows of blocks and between them; all seams nest."
    else:
        yield "Press toward the strips."


def setting(plan: Plan, book: CutBook) -> Iterator[str]:
    """Yield a line for each kind of setting square, and for each one of her own size."""
    told = hand(plan, book)
    for squares in book.setting:
        yield setting_sentence(squares, told)
    for own in book.own:
        yield own_sentence(own, told)


_TRIANGLES = {Triangle.SIDE: "side triangle", Triangle.CORNER: "corner triangle"}


def setting_sentence(squares: SettingSquares, told: Hand) -> str:
    """Say what to cut for side or corner triangles, beside the exact value and the rule."""
    side, lengths = squares.kind is Triangle.SIDE, told.lengths
    grain = "the quilt's edge" if side else "the corner's two edges"
    line = (
        f"{number(squares.triangles, _TRIANGLES[squares.kind])}: cut "
        f"{number(squares.squares, 'square')} of {lengths.cut(squares.cut)}, each "
        f"{'twice' if side else 'once'} on the diagonal, which puts the "
        f"straight grain on {grain} (exact: {lengths.exact(squares.exact, 4)}"
    )
    metric = lengths.units == "metric"
    rule = "" if metric else f"; rule of thumb: {lengths.exact(squares.rule, 3)}"
    return f"{line}{rule})."


def own_sentence(own: OwnSquare, told: Hand) -> str:
    """Say what a square of one's own size does to the points of the blocks."""
    lengths = told.lengths
    much = lengths.exact(abs(own.loss), 3)
    line = f"{capital(_TRIANGLES[own.kind])}s from {lengths.cut(own.cut)} squares"
    if own.loss > 0:
        return (
            f"{line} blunt the block points by {much}; they suit blocks up to "
            f"{lengths.cut(own.largest_unfinished)} unfinished. Measure a sewn block first."
        )
    return f"{line} clear the block points by {much}."


def finishing(plan: Plan, book: CutBook) -> Iterator[tuple[str, str]]:
    """Yield each thing that goes around the blocks: what it is, and how much it takes."""
    told = hand(plan, book)
    for which, frame in enumerate(book.borders, 1):
        yield _border(plan, which, frame, told)
    name = f"Binding of {_name(plan, book.binding_fabric)}"
    yield name + ", on the bias" * (book.binding.square is not None), _binding(book.binding, told)
    back = f"Backing of {_name(plan, book.backing_fabric)}" if book.backing_fabric else "Backing"
    first, *others = book.backing
    yield back + _seams(first), _lengths(first, plan.brief, told)
    for way in others:
        more = _more(way, first, plan.brief, told)
        yield f"{back}, or{_seams(way)[1:]}", f"{_lengths(way, plan.brief, told)}, {more}"
    yield "Batting", told.lengths.by(*(told.lengths.cut(side) for side in book.batting))


def _border(plan: Plan, which: int, frame: Border, told: Hand) -> tuple[str, str]:
    sides, ends = (told.lengths.cut(side) for side in (frame.sides, frame.ends))
    corner = "butted" if frame.corner == "butted" else "mitred"
    first = " first, then " if frame.corner == "butted" else ", "
    name = capital(border_name(which, told.borders))
    much = (
        f"cut {told.lengths.cut(frame.cut)} wide; two sides of {sides}{first}top and bottom of "
        f"{ends}. Measure your top through the middle before cutting to length"
    )
    return f"{name} of {_name(plan, frame.fabric)}, {corner}", much


def backing_amount(way: Backing, brief: Brief, told: Hand) -> str:
    """Say how much backing to buy, rounded up as shops cut."""
    return told.lengths.bought(_bought(way.cloth, brief))


def _bought(exact: float, brief: Brief) -> Inches:
    """Return what to buy for a length of cloth in inches."""
    step = TEN_CENTIMETRES if brief.units == "metric" else EIGHTH_YARD
    return to_buy(round_up(exact), step, brief.sewing.shrunk)


def _binding(bound: Binding, told: Hand) -> str:
    """Say what a binding is cut from."""
    wide, long = told.lengths.cut(bound.cut), told.lengths.cut(bound.length)
    if bound.square is None:
        return f"{number(bound.strips, 'strip')} of {wide} for {long}"
    squares = f"{number(bound.strips, 'square')} of {told.lengths.cut(bound.square)}"
    return f"{squares}, made into one strip {wide} wide for {long}"


def _more(way: Backing, first: Backing, brief: Brief, told: Hand) -> str:
    """Say how much more or less cloth another way to piece a backing takes."""
    more = _bought(way.cloth, brief).value - _bought(first.cloth, brief).value
    if not more:
        return "as much"
    return f"{told.lengths.bought(Inches(abs(more)))} {'more' if more > 0 else 'less'}"


def _seams(way: Backing) -> str:
    """Say how the seams of a backing lie, after a comma."""
    if way.seams is Run.NONE:
        return ", in one piece"
    run = "upright" if way.seams is Run.UPRIGHT else "level"
    return f", {'seam' if way.panels == 2 else 'seams'} {run}"


def backing(way: Backing, brief: Brief, told: Hand) -> str:
    """Say how a backing is pieced and what is bought for it, after its name."""
    return f"{_seams(way)}: {_lengths(way, brief, told)}"


def _lengths(way: Backing, brief: Brief, told: Hand) -> str:
    line = (
        f"{number(way.panels, 'length')} of {told.lengths.cut(way.panel_length)}; buy "
        f"{backing_amount(way, brief, told)}"
    )
    if way.saving_margin is not None:
        line += f"; a margin of {told.lengths.cut(way.saving_margin)} a side would save a length"
    return line
