"""Holds the words of a booklet against the plan and its cut book, number by number.

Two questions are asked: does everything that the cut book says stand in the text, and
does every length in the text stand in the cut book? The words are read as a maker reads
them; nothing that wrote them is called.
"""

from __future__ import annotations

import re
from collections import Counter
from fractions import Fraction
from typing import TYPE_CHECKING

from api.booklet.lengths import LENGTH, LENGTHS, finished, flat, sold, tight, to_buy, to_cut
from api.booklet.parts import Booklet, Bullets, Figure, Gallery, Heading, Part, Steps, Table, Words
from api.pattern.alternates import chosen_forms
from api.pattern.bed_sizes import bed_sizes
from palette.thread import PLAIN
from placement.checks.fault import Fault, FaultKind, fault
from placement.checks.lattice import EDGE, every_place, is_plain, pieced
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from api.booklet.edition import Edition
    from api.pattern.cut_book import CutBook
    from api.pattern.plan import Plan
    from placement.cloth.alternates import Alternate
    from placement.cloth.cutting import CuttingPlan
    from placement.top.setting.layout import Layout
    from placement.top.setting.setting import Cell

_COUNTED = rf"(\d+) ([a-z][a-z -]*?) of ({LENGTH})(?: × ({LENGTH}))?"
"""'4 squares of 3"', '2 border strips of 4 1/2" × 40"'."""
_SUB_CUT = re.compile(
    rf"Cut (\d+) strips? ({LENGTH}) across the (?:width|cloth); from (?:it|each) "
    r"(.+?) \(cuts? [\d– ]+\)"
)
"""'Cut 2 strips 5" across the width; from each 3 squares of 5" (cuts 3–8)'."""
_TOGETHER = re.compile(
    rf"Cut ((?:\d+ strips? {LENGTH}(?:, | and )?)+) across the (?:width|cloth), "
    r"(halve (?:it|all) at the fold|used whole): (.+?) \(cuts? [\d– ]+\)"
)
"""'Cut 9 strips 4" and 3 strips 5" across the width, used whole: 9 strips of ... (cuts 1–12)'."""
_STACK = re.compile(r"Stack (the|up to)? ?(\d+) fabrics and cut them together(?:: (\d+) times)?")
_AT_ONCE = re.compile(r"Sub-cut up to (\d+) strips at once")
_HANDWORK = re.compile(r"(\d+) instructions?, (\d+) ruler settings? and (\d+) cuts?")
_UNCUT = re.compile(r"Use \d+ [^:]+? as they come, uncut: ((?:(?!\. ).)+)\.")
"""'Use 9 five-inch squares as they come, uncut: 9 squares of 5".'"""
_TOTAL = re.compile(r"From (?:(?!From ).)+? (?:cut|take) (\d+ (?:(?!\. ).)+)\.")
"""'From 2 fat quarters, 18" × 21" cut 4 squares of 3".'"""
_TRIANGLES = re.compile(
    rf"Cut each of the (\d+) [a-z -]*?s of ({LENGTH})(?: × ({LENGTH}))? [a-z -]*?(once|twice)"
)
_OVER = re.compile(r"The same for all; ((?:(?!\. ).)+?) over from ")
"""'The same for all; 2 squares of 3" over from fabric 4.'"""
_GEESE = "v<^>"
_UNITS = {
    "goose": ("flying goose", "flying geese"),
    "half": ("half-square triangle unit",),
    "quarter": ("quarter-square triangle unit",),
    "rectangle": ("half-rectangle unit",),
}

Size = tuple[str, ...]
"""Both sides of a piece as they are written, in the order that sorts first; one of a square."""


def text_of(made: Booklet) -> str:
    """Return every word of a booklet in reading order, on one line."""
    lines = [made.title, made.designer, made.size, *made.facts]
    for chapter in made.chapters:
        lines.append(chapter.title)
        for part in chapter.parts:
            lines.extend(_words(part))
    # What cannot be seen keeps the numbers of two cells apart.
    return flat(" \u200b ".join(lines))


def _words(part: Part) -> Iterator[str]:
    match part:
        case Words() | Bullets():
            yield from part.lines
        case Heading():
            yield part.text
        case Steps():
            yield from (figure.caption for figure in part.figures)
            yield from part.lines
        case Table():
            yield from part.columns
            for row in part.rows:
                yield from (cell.caption if isinstance(cell, Figure) else cell for cell in row)
        case Gallery():
            yield from (figure.caption for figure in part.figures)


def judge_print(text: str, plan: Plan, book: CutBook, edition: Edition) -> tuple[Fault, ...]:
    """List every way in which a booklet's words and its cut book disagree.

    Parameters
    ----------
    text : str
        The booklet's words.
    plan : Plan
        The plan it was made of, with as much cloth as it takes.
    book : CutBook
        What is cut, bought and pressed for it.
    edition : Edition
        The edition it was made in: its own words may hold any number.
    """
    facts = _Facts(plan, book, edition)
    text = flat(text)
    return tuple(
        dict.fromkeys((
            *_missing(facts, text),
            *_totals(facts, text),
            *_rows(facts, tight(text)),
            *_cut(facts, text),
            *_surplus(facts, text),
            *_folds(facts, text),
            *_unknown(facts, text),
        ))
    )  # fmt: skip


class _Facts:
    """A plan and its cut book, and how their lengths are written."""

    def __init__(self, plan: Plan, book: CutBook, edition: Edition) -> None:
        if plan.layout is None:
            raise ValueError("this plan has no layout yet; arrange it before printing it")
        self.plan, self.book, self.edition = plan, book, edition
        self.layout: Layout = plan.layout
        self.metric = plan.brief.units == "metric"
        laid = Counter(name for name in self.layout.fabrics if name)
        self.blocks = {s.fabric.id: laid[s.fabric.id] for s in plan.brief.swatches
                       if laid[s.fabric.id]}  # fmt: skip
        self.numbers = {name: number for number, name in enumerate(self.blocks, 1)}

    def name(self, fabric: str) -> str:
        """Return a fabric's name."""
        return self.plan.swatch(fabric).fabric.name

    def cut(self, length: Inches | float) -> str:
        """Write a size to cut."""
        exact = length.value if isinstance(length, Inches) else length
        return to_cut(exact, metric=self.metric)

    def fin(self, length: Inches | float) -> str:
        """Write a finished measure."""
        return finished(float(length), metric=self.metric)

    def by(self, sides: Iterable[Inches | float]) -> str:
        """Write finished measures."""
        return " × ".join(self.fin(side) for side in sides)

    def amount(self, cloth: CuttingPlan) -> str:
        """Write how much cloth is needed."""
        form = cloth.cloth.form
        if cloth.buy is not None:
            return sold(cloth.buy.value, metric=self.metric)
        if form.nominal_height is None:
            return ""
        write = self.fin if self.metric else self.cut
        return f", {write(form.nominal_height)} × {write(form.nominal_width)}"

    def size(self, width: Inches, height: Inches) -> Size:
        """Write both sides of a piece."""
        return tuple(sorted({self.cut(width), self.cut(height)}))


def _missing(facts: _Facts, text: str) -> Iterator[Fault]:
    """Name everything of the cut book that the text does not say."""
    dense = tight(text)
    for phrase in (
        *_cloth_phrases(facts),
        *_top_phrases(facts),
        *_around_phrases(facts),
        *_other_phrases(facts),
    ):
        if tight(phrase) not in dense:
            yield fault(FaultKind.UNSAID, words=flat(phrase))


def _several(count: int, noun: str, plural: str = "") -> str:
    return f"{count} {noun if count == 1 else plural or noun + 's'}"


def _cloth_phrases(facts: _Facts) -> Iterator[str]:
    """Yield each fabric beside its amount, then what is sewn of strips and triangles."""
    brief, book = facts.plan.brief, facts.book
    for cloth in (each for each in book.cloths if each.cuts):
        name, form = facts.name(cloth.fabric), cloth.cloth.form
        count = f" {cloth.cloth.count} " if form.nominal_height else " "
        amount = facts.amount(cloth)
        yield f"{name}{count}" if amount.startswith(",") else f"{name} {amount}"
        yield amount
    for fabric, blocks in facts.blocks.items():
        yield f"{facts.numbers[fabric]} {facts.name(fabric)}, {_several(blocks, 'block')}"
        for (kind, *_), each in _units(facts).items():
            yield _several(each * blocks, *_UNITS[kind])
    for entry in book.strip_sets:
        yield f"{_several(len(entry.sets), 'set')} {_several(entry.slices, 'slice')}"
        yield f"each {facts.cut(entry.sub_cut)} wide"
    if brief.sewing.shrinkage and any(cloth.buy is not None for cloth in book.cloths):
        yield f"shrinking by {brief.sewing.shrinkage:g} %"
    for role, fabric in (("background", facts.plan.background), ("second feature", _second(facts))):
        if fabric:
            yield f"{role} is {facts.name(fabric)}"
    if brief.thread:
        own = {swatch.fabric.id: swatch.fabric.name for swatch in brief.threads}
        plain = {label: name for label, (name, _) in PLAIN.items()}
        yield f"To quilt with: {(plain | own)[brief.thread]}"


def _second(facts: _Facts) -> str:
    has = any("S" in patch.roles for patch in facts.plan.brief.pattern().patches)
    return facts.plan.brief.second_fabric if has else ""


def _units(facts: _Facts) -> Counter[tuple[str, Fraction, Fraction, str]]:
    """Count the triangle units of a block by how they are made, their size and roles."""
    found: Counter[tuple[str, Fraction, Fraction, str]] = Counter()
    for patch in facts.plan.brief.pattern().patches:
        if not patch.cut:
            continue
        kind, roles = "half" if patch.width == patch.height else "rectangle", patch.roles
        sides = patch.width, patch.height
        if patch.cut in _GEESE:
            kind, roles, sides = "goose", roles[:2], (max(sides), min(sides))
        elif patch.cut == "x":
            kind, roles = "quarter", min(roles[turn:] + roles[:turn] for turn in range(4))
        else:
            roles = "".join(sorted(roles))
        found[kind, *sides, roles] += 1
    return found


def _top_phrases(facts: _Facts) -> Iterator[str]:
    """Yield what must be said of the top: its size, blocks, sashing and setting triangles."""
    setting, book = facts.layout.setting, facts.book
    yield f"Finished size {facts.by(facts.plan.brief.size())}"
    yield _several(sum(facts.blocks.values()), "block")
    yield f"seam allowance of {facts.cut(facts.plan.brief.sewing.seam)}"
    side = Inches(setting.block_size.value + 2 * facts.plan.brief.sewing.seam.value)
    yield f"{facts.fin(setting.block_size)} finished, {facts.cut(side)} with seam allowance"
    for squares in book.setting:
        yield _several(squares.triangles, f"{squares.kind} triangle")
    across, down = (facts.cut(edge) for edge in _sewn(facts))
    yield f"now measures about {across} × {down}"
    if setting.kind == "on point":
        yield _trim_phrase(facts)
    if book.sashing:
        long, wide = book.sashing.cut
        yield f"sashing strip, {facts.cut(wide)} × {facts.cut(long)}"
        pointed = setting.kind == "on point"
        lines = setting.across + setting.down if pointed else setting.down + 1
        yield f"{_several(lines, 'line')} of sashing"
        yield from (f"{count} of {facts.cut(length)}" for length, count in book.sashing.long)
        if book.sashing.half_cornerstones:
            yield _several(book.sashing.half_cornerstones, "half cornerstone")


def _scant(facts: _Facts) -> float:
    """Return what squares of her own that are too small take from every side, inches."""
    return max([0.0, *(own.loss for own in facts.book.own)])


def _sewn(facts: _Facts) -> tuple[float, float]:
    """Return both sides of the blocks sewn together, with what is left of the seam allowance."""
    setting = facts.layout.setting
    around = 2 * (float(facts.plan.brief.sewing.seam) - _scant(facts))
    return setting.width + around, setting.height + around


def _trim_phrase(facts: _Facts) -> str:
    """Return where the edges are trimmed: beyond the points, or where triangles end short."""
    scant = _scant(facts)
    if not scant:
        return f"straight, {facts.cut(facts.plan.brief.sewing.seam)} outside the points"
    least = finished(scant, metric=facts.metric)
    what = "sashing" if facts.book.sashing else "blocks"
    how = "less than" if least == finished(0.0, metric=facts.metric) else f"about {least}"
    return f"blunt the points of the {what} by {how}"


def _around_phrases(facts: _Facts) -> Iterator[str]:
    """Yield what must be said of borders, binding, backing and batting."""
    book, sewing = facts.book, facts.plan.brief.sewing
    for number, frame in enumerate(book.borders):
        strips = _border_strips(facts, number)
        yield (
            f"{facts.fin(frame.finished)} {facts.name(frame.fabric)} {strips} of "
            f"{facts.cut(frame.cut)} {facts.cut(frame.sides)} {facts.cut(frame.ends)} "
            f"{facts.by((frame.width, frame.height))}"
        )
    if book.borders:
        last = book.borders[-1]
        yield f"now {facts.by((last.width, last.height))} finished"
        if last.corner == "mitred":
            yield "sew the mitre"
    bound = book.binding
    if bound.square is None:
        yield f"{_several(bound.strips, 'strip')} of {facts.cut(bound.cut)}"
    else:
        yield _several(bound.strips, "square") + f" of {facts.cut(bound.square)} for bias binding"
        yield f"lines {facts.cut(bound.cut)} apart"
    yield f", {facts.name(book.binding_fabric)}"
    yield facts.cut(bound.length)
    way = book.backing[0]
    buy = sold(to_buy(way.cloth, sewing.shrunk, metric=facts.metric), metric=facts.metric)
    lengths = f"{_several(way.panels, 'length')} of {facts.fin(way.panel_length)}"
    cloth = facts.name(book.backing_fabric) if book.backing_fabric else "backing"
    yield f"{buy} {lengths}"
    yield f"Cut {lengths} from {buy} of {cloth}"
    yield f"batting to {facts.by(book.batting)}"


def _border_strips(facts: _Facts, number: int) -> int:
    """Return how many strips are cut for a border, from the cuts as wide as it on its cloth."""
    frame = facts.book.borders[number]
    counts = [p.count for p in facts.book.pieces
              if (p.fabric, p.height) == (frame.fabric, frame.cut) and _is_across(facts, p.width)
              and not p.turn]  # fmt: skip
    # Borders of one fabric and width come in order; so do their strips.
    same = [n for n, other in enumerate(facts.book.borders)
            if (other.fabric, other.cut) == (frame.fabric, frame.cut)]  # fmt: skip
    at = same.index(number)
    return counts[at] if at < len(counts) else 0


def _is_across(facts: _Facts, width: Inches) -> bool:
    return any(width == cloth.cloth.form.width for cloth in facts.book.cloths)


def _rows(facts: _Facts, dense: str) -> Iterator[Fault]:
    """Read the rows of the layout back: every block's number, plain blocks, and marks of turns."""
    setting, layout = facts.layout.setting, facts.layout
    laid = dict(zip(pieced(setting), layout.fabrics, strict=True))
    marked: set[Cell] = set()
    for number, cells in enumerate(_sewn_rows(facts), 1):
        written, named = [], []
        for cell in cells:
            fabric = "" if is_plain(setting, cell) else laid[cell]
            named += [cell] if fabric else []
            written.append(f"{facts.numbers[fabric]}(•?)" if fabric else "B")
        line = "".join(written)
        if setting.kind == "on point":
            ends = (_ends_in_triangle(facts, cell, way) for cell, way in
                    ((cells[0], 1), (cells[-1], -1)))  # fmt: skip
            start, end = ("sidetriangle" if found else "—" for found in ends)
            line = f"{start}{line}{end}"
        # The drawing of the rows may hold the same numbers, without the marks.
        read = [match.groups() for match in re.finditer(f"{number}{line}", dense)]
        if not read:
            plain = line.replace("(•?)", " ")
            yield fault(FaultKind.UNSAID, words=f"row {number}: {plain}")
        else:
            dots = max(read, key=lambda found: sum(map(bool, found)))
            marked |= {cell for cell, dot in zip(named, dots, strict=True) if dot}
    yield from _marks(facts, {cell for cell, fabric in laid.items() if fabric}, marked)


def _sewn_rows(facts: _Facts) -> Iterator[list[Cell]]:
    """Yield the rows that are sewn: level, or from bottom left to top right."""
    setting = facts.layout.setting
    pointed = setting.kind == "on point"
    found: dict[int, list[Cell]] = {}
    for place in every_place(setting):
        found.setdefault(place.row + pointed * place.column, []).append(place)
    for _, places in sorted(found.items()):
        yield sorted(places, key=lambda place: place.column)


def _ends_in_triangle(facts: _Facts, cell: Cell, way: int) -> bool:
    """Whether a side triangle, not a corner, lies beyond the first (1) or last (-1) block."""
    setting = facts.layout.setting
    row, column = cell.row + way, cell.column - way
    outside = row in (-1, 2 * setting.down - 1), column in (-1, 2 * setting.across - 1)
    return outside[0] != outside[1]


def _marks(facts: _Facts, blocks: set[Cell], marked: set[Cell]) -> Iterator[Fault]:
    """List blocks that share an edge and are marked alike, where every other one must be."""
    pressing, setting = facts.book.pressing, facts.layout.setting
    if not pressing.turn and len(pressing.plans) < 2:
        if marked:
            yield fault(FaultKind.TURNED_IDLY, count=len(marked))
        return
    for cell in sorted(blocks):
        for down, right in EDGE[setting.kind]:
            other = type(cell)(cell.row + down, cell.column + right)
            if other in blocks and (cell in marked) == (other in marked):
                alike = int(cell in marked)
                yield fault(FaultKind.TURNED_ALIKE, first=cell, second=other, turned=alike)


def _told(facts: _Facts) -> list[CuttingPlan]:
    """Return one cloth of each group that is cut alike: such fabrics are told once."""
    # The first whose own plan it is stands for those that are cut like it.
    found: dict[object, CuttingPlan] = {}
    for cloth in sorted(facts.book.cloths, key=lambda cloth: bool(cloth.like)):
        found.setdefault((cloth.cloth.form, cloth.cloth.count, cloth.cuts), cloth)
    return list(found.values())


def _surplus(facts: _Facts, text: str) -> Iterator[Fault]:
    """Hold what is said to be over, where fabrics are cut alike, against the plan."""
    said = {tuple(sorted(_counted(pieces))) for pieces in _OVER.findall(text)}
    wanted = {
        tuple(sorted((n, facts.size(piece.width, piece.height)) for piece, n in cloth.surplus))
        for cloth in facts.book.cloths
        if cloth.surplus
    }
    for pieces in said ^ wanted:
        words = ", ".join(f"{count} of {' × '.join(size)}" for count, size in pieces)
        yield fault(FaultKind.UNSAID, words=f"{words} over")


def _counted(pieces: str) -> Iterator[tuple[int, Size]]:
    """Yield how many pieces of what size are told."""
    for count, _, one, two in re.findall(_COUNTED, pieces):
        yield int(count), tuple(sorted({one, two or one}))


def _totals(facts: _Facts, text: str) -> Iterator[Fault]:
    """Hold what is said to come from each fabric in all against its pieces."""
    said = Counter(
        (int(count), tuple(sorted({one, two or one})))
        for total in _TOTAL.findall(text)
        for count, _, one, two in re.findall(_COUNTED, total)
    )
    wanted = Counter(
        (piece.count, facts.size(piece.width, piece.height))
        for cloth in _told(facts)
        for piece in facts.book.asked_of(cloth)
    )
    for count, size in (wanted - said) + (said - wanted):
        yield fault(FaultKind.UNSAID, words=f"{count} of {' × '.join(size)}")
    halved = Counter(
        (int(count), tuple(sorted({one, two or one})), f"cut {how}")
        for count, one, two, how in _TRIANGLES.findall(text)
    )
    ways = Counter(
        (piece.count, facts.size(piece.width, piece.height), str(piece.then))
        for cloth in _told(facts)
        for piece in facts.book.asked_of(cloth)
        if piece.then in ("cut once", "cut twice")
    )
    for count, size, how in ways - halved:
        if count > 1:  # one alone is told without a plural
            yield fault(FaultKind.UNSAID, words=f"{count} of {' × '.join(size)}, {how}")


def _cut(facts: _Facts, text: str) -> Iterator[Fault]:
    """Add up the strips and pieces that the steps make and hold them against the plan."""
    said, strips = _steps(text)
    wanted: Counter[Size] = Counter()
    for cloth in (*_told(facts), *_other_cuts(facts)):
        wanted.update(facts.size(cut.width, cut.height) for cut in cloth.cuts if cut.use)
        strips.subtract(facts.cut(height) for height in _cut_strips(cloth))
    for height, more in strips.items():
        if more:
            yield fault(FaultKind.STEPS_CUT, words=f"strips of {height}", said=more, found=0)
    for size in sorted(said.keys() | wanted.keys()):
        if said[size] != wanted[size]:
            yield fault(
                FaultKind.STEPS_CUT, words=" × ".join(size), said=said[size], found=wanted[size]
            )


def _steps(text: str) -> tuple[Counter[Size], Counter[str]]:
    """Add up the pieces by their size and the strips by their height that steps tell of."""
    said, strips = Counter[Size](), Counter[str]()
    for count, height, pieces in _SUB_CUT.findall(text):
        strips[height] += int(count)
        for each, size in _counted(pieces):
            said[size] += int(count) * each
    for cut, _, pieces in _TOGETHER.findall(text):
        for count, height in re.findall(rf"(\d+) strips? ({LENGTH})", cut):
            strips[height] += int(count)
        for each, size in _counted(pieces):
            said[size] += each
    for pieces in _UNCUT.findall(text):
        for each, size in _counted(pieces):
            said[size] += each
    return said, strips


def _folds(facts: _Facts, text: str) -> Iterator[Fault]:
    """Hold what is said to be halved, and what is cut at once, against the plan."""
    for cut, how, pieces in _TOGETHER.findall(text):
        strips = sum(int(count) for count in re.findall(r"(\d+) strips? \d", cut))
        made = sum(each for each, _ in _counted(pieces))
        if made != strips * (2 if how.startswith("halve") else 1):
            yield fault(FaultKind.STEPS_CUT, words=how, said=made, found=strips)
    groups = Counter((c.cloth.form, c.cloth.count, c.cuts) for c in facts.book.cloths)
    layers = facts.plan.brief.sewing.layers
    stacks, at_once, work = Counter[object](), Counter[str](), Counter[object]()
    for cloth in _told(facts):
        alike = groups[cloth.cloth.form, cloth.cloth.count, cloth.cuts]
        if alike > 1 and layers > 1 and any(_cut_strips(cloth)):
            stacks[_stack(alike, layers)] += 1
        elif alike == 1 and (most := _sub_cut_at_once(cloth, layers)) > 1:
            at_once[str(most)] += 1
        if cloth.otherwise is not None and cloth.otherwise.handwork != cloth.handwork:
            for each in (cloth.otherwise.handwork, cloth.handwork):
                work[str(each.instructions), str(each.settings), str(each.cuts)] += 1
    for said, wanted in (
        (Counter(_STACK.findall(text)), stacks),
        (Counter(_AT_ONCE.findall(text)), at_once),
        (Counter(_HANDWORK.findall(text)), work),
    ):
        for told in (said - wanted) + (wanted - said):
            yield fault(FaultKind.UNSAID, words=str(told))


def _stack(alike: int, layers: int) -> tuple[str, str, str]:
    """Return how so many fabrics are stacked, as it is read."""
    if alike <= layers:
        return "the", str(alike), ""
    times = -(-alike // layers)
    return ("up to" if times * layers > alike else ""), str(layers), str(times)


def _cut_strips(cloth: CuttingPlan) -> Iterator[Inches]:
    """Yield the heights of all strips that are not whole pre-cuts."""
    form = cloth.cloth.form
    whole = {cut.inside for cut in cloth.cuts if cut.use
             and (cut.width, cut.height) == (form.width, form.height)}  # fmt: skip
    yield from (cut.height for cut in cloth.cuts if cut.kind == "strip" and cut.number not in whole)


def _sub_cut_at_once(cloth: CuttingPlan, layers: int) -> int:
    """Return how many strips lie in the highest pile: of one height, what one gives others do."""
    by_number = {cut.number: cut for cut in cloth.cuts}
    inside: dict[int, Counter[tuple[Inches, Inches]]] = {
        cut.number: Counter() for cut in cloth.cuts if cut.kind == "strip"
    }
    for cut in cloth.cuts:
        if cut.use:
            inside[by_number[cut.inside].inside or cut.inside][cut.width, cut.height] += 1
    piles: list[list[int]] = []
    for number in sorted(inside, key=lambda n: (-inside[n].total(), n)):
        for pile in piles:
            top = by_number[pile[0]]
            if top.height == by_number[number].height and inside[number] <= inside[pile[0]]:
                pile.append(number)
                break
        else:
            piles.append([number])
    whole = cloth.cloth.form.width
    sub_cut = [len(pile) for pile in piles if {size[0] for size in inside[pile[0]]} != {whole}]
    return min(layers, max(sub_cut, default=1))


def _others(facts: _Facts) -> tuple[Alternate, ...]:
    return chosen_forms(facts.plan, facts.book)


def _other_cuts(facts: _Facts) -> list[CuttingPlan]:
    """Return every other way of cutting that alternates bring, once."""
    plans = [told.share.plan for told in _others(facts) if told.share and not told.same]
    return list({plan.cuts: plan for plan in plans}.values())


def _other_phrases(facts: _Facts) -> Iterator[str]:
    """Yield how much of every alternate is needed, and what one piece of it gives."""
    for told in _others(facts):
        if told.share and told.share.plan.buy is not None:
            yield f"{sold(told.share.plan.buy.value, metric=facts.metric)} of each fabric"
        if told.pieces is not None:
            yield f": {told.pieces} "
        if told.each is not None:
            yield f"{_several(told.each.blocks, 'block')} from one"


def _other_lengths(facts: _Facts) -> Iterator[str]:
    """Yield the lengths that alternates bring."""
    for told in _others(facts):
        sides = (told.form.nominal_width, told.form.nominal_height)
        yield from (write(side) for side in sides if side for write in (facts.cut, facts.fin))
        if told.each is not None:
            yield facts.cut(told.each.plan.spare)
        if told.share and told.share.plan.buy is not None:
            yield sold(told.share.plan.buy.value, metric=facts.metric)
    for plan in _other_cuts(facts):
        for cut in plan.cuts:
            yield from (facts.cut(cut.width), facts.cut(cut.height))


def _unknown(facts: _Facts, text: str) -> Iterator[Fault]:
    """Name every length of the text that the plan does not know."""
    for own in _own_words(facts):
        text = text.replace(own, " ")
    known = {flat(length) for length in _known(facts)}
    for length in LENGTHS.findall(text):
        if length not in known:
            yield fault(FaultKind.UNKNOWN_LENGTH, words=length)


def _own_words(facts: _Facts) -> list[str]:
    """Return the designer's words and names, the longest first: they may hold any number."""
    edition, brief = facts.edition, facts.plan.brief
    own = [edition.title, edition.designer, brief.title, brief.pattern().name]
    own += [*edition.introduction.splitlines(), *edition.notes.splitlines()]
    own += [swatch.fabric.name for swatch in brief.everything()]
    return sorted({flat(words) for words in own if words.strip()}, key=len, reverse=True)


def _known(facts: _Facts) -> Iterator[str]:
    """Yield every length of the plan as it is written."""
    yield from (facts.cut(length) for length in _cut_lengths(facts))
    yield from (facts.fin(length) for length in _finished_lengths(facts))
    for cloth in facts.book.cloths:
        yield from LENGTHS.findall(facts.amount(cloth))
        for other in (cloth.otherwise, cloth.wider):
            if other is not None and other.buy is not None:
                yield sold(other.buy.value, metric=facts.metric)
    sewing, way = facts.plan.brief.sewing, facts.book.backing[0]
    yield sold(to_buy(way.cloth, sewing.shrunk, metric=facts.metric), metric=facts.metric)
    yield from _beds(facts)
    yield from _other_lengths(facts)


def _cut_lengths(facts: _Facts) -> Iterator[Inches | float]:
    book, setting, seam = facts.book, facts.layout.setting, facts.plan.brief.sewing.seam
    yield seam
    for piece in book.pieces:
        yield from (piece.width, piece.height)
    for cloth in book.cloths:
        yield from (cut.height for cut in cloth.cuts if cut.kind == "strip")
        # Strips of sets keep their slack: they are longer than asked for.
        yield from (cut.width for cut in cloth.cuts if cut.kind == "piece")
        form = cloth.cloth.form
        yield from (form.nominal_width, form.width)
        yield from _beside(cloth)
    for entry in book.strip_sets:
        yield entry.sub_cut
    if book.sashing:
        yield from (length for length, _ in book.sashing.long)
    for part in _parts_of_block(facts):
        yield Inches(part * setting.block_size.value + 2 * seam.value)
    yield from _sewn(facts)
    yield from (book.binding.cut, book.binding.length, setting.block_size)
    for frame in book.borders:
        yield from (frame.cut, frame.sides, frame.ends)
    yield from _near_blocks(facts)


def _beside(cloth: CuttingPlan) -> Iterator[Inches]:
    """Yield what is told of the other aim and of wider cloth."""
    yield cloth.used
    if cloth.otherwise is not None:
        yield cloth.otherwise.used
        yield Inches(abs(cloth.otherwise.used.value - cloth.used.value))
    if cloth.wider is not None:
        yield from (cloth.wider.width, cloth.wider.used)


def _parts_of_block(facts: _Facts) -> set[Fraction]:
    """Return every distance between two seam lines of a block, in parts of its side."""
    patches = facts.plan.brief.pattern().patches
    found: set[Fraction] = set()
    ways: tuple[Callable[[object], tuple[Fraction, Fraction]], ...] = (
        lambda p: (p.left, p.left + p.width),  # type: ignore[attr-defined]
        lambda p: (p.top, p.top + p.height),  # type: ignore[attr-defined]
    )
    for ends in ways:
        lines = {line for patch in patches for line in ends(patch)}
        found |= {abs(one - other) for one in lines for other in lines}
    return found


def _near_blocks(facts: _Facts) -> Iterator[Inches]:
    """Yield the nearest sizes of the block whose parts fall on the ruler's marks."""
    step = Fraction(50, 254) if facts.metric else Fraction(1, 4)
    side = facts.layout.setting.block_size.value
    parts = {size for patch in facts.plan.brief.pattern().patches
             for size in (patch.width, patch.height)}  # fmt: skip
    for way in (-1, 1):
        near = side // step * step if way < 0 else side // step * step + step
        while near > 0 and any((part * near / step).denominator > 1 for part in parts):
            near += way * step
        yield Inches(near)


def _finished_lengths(facts: _Facts) -> Iterator[Inches | float]:
    brief, book, setting = facts.plan.brief, facts.book, facts.layout.setting
    yield from brief.size()
    yield from (setting.block_size, setting.sashing)
    for cloth in book.cloths:
        form = cloth.cloth.form
        yield from (side for side in (form.nominal_width, form.nominal_height) if side)
    for frame in book.borders:
        yield from (frame.finished, frame.width, frame.height)
    yield from book.batting
    yield book.backing[0].panel_length
    # What too small squares take, and the least that is told.
    yield from (_scant(facts), 5 / 25.4 if facts.metric else 1 / 8)


def _beds(facts: _Facts) -> Iterator[str]:
    """Yield the lengths in a table of bed sizes."""
    drop = facts.edition.drop
    if drop is None:
        return
    yield facts.fin(drop)
    for row in bed_sizes(facts.plan.brief, float(drop), len(facts.numbers)):
        yield from (facts.fin(side) for side in (*row.size, row.border))
        for cloth in row.book.cloths:
            yield from LENGTHS.findall(facts.amount(cloth))
