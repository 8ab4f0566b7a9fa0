"""What is cut from one cloth, as a cutter says it: strips across, halves, ends, layers.

The lines of one cloth read alike in texts, on the page and in print.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, auto
from itertools import groupby, pairwise
from math import ceil
from typing import TYPE_CHECKING

from api.wording.english import listed, number, ranges
from api.wording.pieces import Hand, forms
from placement.cloth.cutting import Cut, CutKind, CuttingPlan, Piece, PieceKind, Then, Use
from placement.cloth.instructions import instructions
from placement.cloth.whole import nothing_cut, taken_whole

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from placement.inches import Inches

_NEXT = {Then.CUT_ONCE: "once on the diagonal", Then.CUT_TWICE: "twice, on both diagonals"}


class _How(Enum):
    """What becomes of a strip."""

    UNCUT = auto()
    """It is a whole pre-cut."""
    WHOLE = auto()
    """It is used as it is."""
    HALVED = auto()
    """It is halved at the fold."""
    SUB_CUT = auto()
    """Pieces are cut from it."""


@dataclass(frozen=True, slots=True)
class CutLine:
    """One line of a cutting list."""

    numbers: tuple[int, ...]
    """Of its pieces, as the drawing numbers them."""
    words: str
    """What it says, without a full stop."""
    where: str = ""
    """Which pieces of cloth the strips come from, after a blank; '' where there is one."""


@dataclass(frozen=True, slots=True)
class _Alike:
    """Strips that are cut alike, one after the other."""

    strips: tuple[Cut, ...]
    inside: tuple[tuple[Cut, ...], ...]
    """The pieces of each."""
    how: _How

    @property
    def pieces(self) -> tuple[Cut, ...]:
        """The pieces of all strips."""
        return tuple(cut for inside in self.inside for cut in inside)


def cut_lines(cloth: CuttingPlan, told: Hand) -> Iterator[CutLine]:
    """Yield the cuts of one cloth: strips that are cut alike share a line, so do halves.

    Parameters
    ----------
    cloth : CuttingPlan
        What is cut.
    told : Hand
        How it is written.
    """
    for how, run in groupby(_alike(cloth), lambda group: group.how):
        groups = list(run)
        together = [groups] if how in (_How.WHOLE, _How.HALVED) else [[each] for each in groups]
        for some in together:
            numbers = tuple(cut.number for group in some for cut in group.pieces)
            yield CutLine(numbers, _line(cloth, some, told), _where(cloth, some))


def _line(cloth: CuttingPlan, groups: Sequence[_Alike], told: Hand) -> str:
    first = groups[0]
    across = f"across the {'width' if cloth.cloth.form.open_ended else 'cloth'}"
    if first.how is _How.SUB_CUT:
        return f"Cut {_strips(first, told)} {across}; {_sub_cut(cloth, first, told)}"
    made = listed(_contents([cut for group in groups for cut in group.pieces], told))
    if first.how is _How.UNCUT:
        return f"Use {forms(cloth.cloth.form.kind, len(first.strips))} as they come, uncut: {made}"
    cut = listed(_strips(group, told) for group in groups)
    one = sum(len(group.strips) for group in groups) == 1
    halved = f"halve {'it' if one else 'all'} at the fold"
    return f"Cut {cut} {across}, {halved if first.how is _How.HALVED else 'used whole'}: {made}"


def _where(cloth: CuttingPlan, groups: Sequence[_Alike]) -> str:
    """Say which of several pieces of cloth strips are cut from."""
    if cloth.cloth.count == 1 or groups[0].how is _How.UNCUT:
        return ""
    sheets = sorted({strip.sheet + 1 for group in groups for strip in group.strips})
    return f" from {'piece' if len(sheets) == 1 else 'pieces'} {ranges(sheets)}"


def _strips(group: _Alike, told: Hand) -> str:
    """Say how many strips of what height."""
    return f"{number(len(group.strips), 'strip')} {told.lengths.cut(group.strips[0].height)}"


def _sub_cut(cloth: CuttingPlan, group: _Alike, told: Hand) -> str:
    """Say what comes from each strip, and what from its end."""
    strip, inside = group.strips[0], group.inside[0]
    high = [cut for cut in inside if cut.height == strip.height]
    low = [cut for cut in inside if cut.height != strip.height]
    each = "from it" if len(group.strips) == 1 else "from each"
    words = f"{each} {listed(_contents(high or low, told))}"
    if high and low:
        words += f", and from its end {listed(_contents(low, told))}"
    strips = {cut.number for cut in cloth.cuts if cut.kind is CutKind.STRIP}
    stacked = any(cut.inside not in strips for cut in inside)
    return words + ", stacked as drawn" * stacked


def _alike(cloth: CuttingPlan) -> Iterator[_Alike]:
    whole = taken_whole(cloth)
    for same, inside in same_strips(cloth):
        numbers = {cut.number for cuts in inside for cut in cuts}
        how = _How.UNCUT if numbers <= whole else _how(same[0], inside[0])
        yield _Alike(tuple(same), tuple(tuple(cuts) for cuts in inside), how)


def _how(strip: Cut, inside: Sequence[Cut]) -> _How:
    sizes = {(cut.width.value, cut.height) for cut in inside}
    if sizes == {(strip.width.value, strip.height)}:
        return _How.WHOLE
    if len(inside) == 2 and sizes == {(strip.width.value / 2, strip.height)}:
        return _How.HALVED
    return _How.SUB_CUT


def then_lines(pieces: Iterable[Piece], told: Hand) -> Iterator[str]:
    """Yield what is cut further before sewing: triangles from squares."""
    for piece in pieces:
        if piece.then in _NEXT:
            each = "" if piece.count == 1 else "each of "
            yield f"Cut {each}the {told.piece(piece)} {_NEXT[piece.then]}."


def layers_lines(cloth: CuttingPlan, fabrics: int, layers: int) -> Iterator[str]:
    """Say how much is cut at once: fabrics that are cut alike, or strips of one cloth.

    Parameters
    ----------
    cloth : CuttingPlan
        How one fabric is cut.
    fabrics : int
        How many are cut like it, itself included.
    layers : int
        How many are cut at once at most.
    """
    if fabrics > 1:
        if layers > 1 and not nothing_cut(cloth):
            yield _stack(fabrics, layers)
        return
    lines = instructions(cloth.cuts, cloth.cloth.form.width, layers)
    most = max((line.layers for line in lines if not line.whole), default=1)
    if most > 1:
        yield f"Sub-cut up to {most} strips at once."


def slack_line(cloth: CuttingPlan, pieces: Iterable[Piece]) -> Iterator[str]:
    """Say that strips of sets keep their slack, where they are cut longer than they need to be."""
    asked = [piece.width for piece in pieces if piece.then is Then.STRIP_SET]
    cut = [c.width for c in cloth.cuts if c.use is not None and c.use.kind is PieceKind.SET_STRIP]
    if asked and cut and max(cut) > max(asked):
        yield "Strips for strip sets are cut longer than they must be: leave the slack on."


def _stack(fabrics: int, layers: int) -> str:
    if fabrics <= layers:
        return f"Stack the {fabrics} fabrics and cut them together."
    some = f"{layers} fabrics" if fabrics % layers == 0 else f"up to {layers} fabrics"
    return f"Stack {some} and cut them together: {ceil(fabrics / layers)} times."


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


def _contents(cuts: Iterable[Cut], told: Hand) -> list[str]:
    """Say what pieces there are; what several in a row are for is said once."""
    found = [told.counted(*content) for content in contents(cuts)]
    uses = [use for use, *_ in contents(cuts)]
    for at, (use, then) in enumerate(pairwise(uses)):
        if use == then:
            purpose = told.noun(use, square=False)[1]
            found[at] = found[at].removesuffix(f" for {purpose}")
    return found
