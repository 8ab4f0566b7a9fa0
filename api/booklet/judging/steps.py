"""The steps of cutting: do they add up to the strips and pieces of the plan."""

from __future__ import annotations

import re
from collections import Counter
from typing import TYPE_CHECKING

from api.booklet.judging.facts import PrintFacts, Size, cut_strips, other_cuts, told_once
from api.booklet.lengths import LENGTH
from placement.checks.fault import Fault, FaultKind, fault

if TYPE_CHECKING:
    from collections.abc import Iterator

    from placement.cloth.cutting import CuttingPlan
    from placement.inches import Inches

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


_PIECE = re.compile(r"\(cuts? (\d+)(?:–(\d+))?\) from pieces? (\d[\d–, and]*?)\.")
"""'(cuts 1–6) from pieces 1–3 and 5.'"""
_TOTAL = re.compile(r"From (?:(?!From ).)+? (?:cut|take) (\d+ (?:(?!\. ).)+)\.")
"""'From 2 fat quarters, 18" × 21" cut 4 squares of 3".'"""


_TRIANGLES = re.compile(
    rf"Cut each of the (\d+) [a-z -]*?s of ({LENGTH})(?: × ({LENGTH}))? [a-z -]*?(once|twice)"
)


_OVER = re.compile(r"The same for all; ((?:(?!\. ).)+?) over from ")
"""'The same for all; 2 squares of 3" over from fabric 4.'"""


def surplus_misread(facts: PrintFacts, text: str) -> Iterator[Fault]:
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


def totals_misread(facts: PrintFacts, text: str) -> Iterator[Fault]:
    """Hold what is said to come from each fabric in all against its pieces."""
    said = Counter(
        (int(count), tuple(sorted({one, two or one})))
        for total in _TOTAL.findall(text)
        for count, _, one, two in re.findall(_COUNTED, total)
    )
    wanted = Counter(
        (piece.count, facts.size(piece.width, piece.height))
        for cloth in told_once(facts)
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
        for cloth in told_once(facts)
        for piece in facts.book.asked_of(cloth)
        if piece.then in ("cut once", "cut twice")
    )
    for count, size, how in ways - halved:
        if count > 1:  # one alone is told without a plural
            yield fault(FaultKind.UNSAID, words=f"{count} of {' × '.join(size)}, {how}")


def cuts_misread(facts: PrintFacts, text: str) -> Iterator[Fault]:
    """Add up the strips and pieces that the steps make and hold them against the plan."""
    said, strips = _steps(text)
    wanted: Counter[Size] = Counter()
    for cloth in (*told_once(facts), *other_cuts(facts)):
        wanted.update(facts.size(cut.width, cut.height) for cut in cloth.cuts if cut.use)
        strips.subtract(facts.cut(height) for height in cut_strips(cloth))
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


def folds_misread(facts: PrintFacts, text: str) -> Iterator[Fault]:
    """Hold what is said to be halved, and what is cut at once, against the plan."""
    for cut, how, pieces in _TOGETHER.findall(text):
        strips = sum(int(count) for count in re.findall(r"(\d+) strips? \d", cut))
        made = sum(each for each, _ in _counted(pieces))
        if made != strips * (2 if how.startswith("halve") else 1):
            yield fault(FaultKind.STEPS_CUT, words=how, said=made, found=strips)
    groups = Counter((c.cloth.form, c.cloth.count, c.cuts) for c in facts.book.cloths)
    layers = facts.plan.brief.sewing.layers
    stacks, at_once, work = Counter[object](), Counter[str](), Counter[object]()
    for cloth in told_once(facts):
        alike = groups[cloth.cloth.form, cloth.cloth.count, cloth.cuts]
        if alike > 1 and layers > 1 and any(cut_strips(cloth)):
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


def pieces_misread(facts: PrintFacts, text: str) -> Iterator[Fault]:
    """Hold which pieces of cloth strips are cut from against the plan."""
    there = [
        {cut.number: cut.sheet + 1 for cut in cloth.cuts if cut.kind == "piece"}
        for cloth in (*told_once(facts), *other_cuts(facts))
    ]
    for first, last, said in _PIECE.findall(text):
        numbers = range(int(first), int(last or first) + 1)
        sheets = _numbers(said)
        if not any(sheets == _sheets(cuts, numbers) for cuts in there):
            yield fault(FaultKind.UNSAID, words=f"{first} from {said}")


def _sheets(cuts: dict[int, int], numbers: range) -> set[int]:
    return {cuts[number] for number in numbers if number in cuts}


def _numbers(said: str) -> set[int]:
    found: set[int] = set()
    for low, high in re.findall(r"(\d+)(?:–(\d+))?", said):
        found |= set(range(int(low), int(high or low) + 1))
    return found


def _stack(alike: int, layers: int) -> tuple[str, str, str]:
    """Return how so many fabrics are stacked, as it is read."""
    if alike <= layers:
        return "the", str(alike), ""
    times = -(-alike // layers)
    return ("up to" if times * layers > alike else ""), str(layers), str(times)


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
