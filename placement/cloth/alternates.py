"""The same blocks from other forms of cloth: what a piece of each gives, and how many it takes.

A fabric's share is the blocks that it makes in the quilt. One piece of a form may give less
than a share, a share, or the shares of several fabrics.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING

from placement.block import Block
from placement.cloth.cutting import Cloth, CuttingPlan, Piece
from placement.cloth.enough import enough
from placement.cloth.forms import Along, Form, FormKind
from placement.cloth.instructions import instructions
from placement.cloth.pieces import StripSet, Terms, cutting_list
from placement.inches import Inches
from placement.top.setting.layout import Layout
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from collections.abc import Sequence


FEATURE, GROUND, SECOND = "feature", "ground", "second"
"""What the cloth is called while a block of one fabric is thought out."""


@dataclass(frozen=True, slots=True)
class CutBlocks:
    """So many blocks of one fabric from so many pieces of a form."""

    blocks: int
    """Blocks of one fabric."""
    pieces: tuple[Piece, ...]
    """What is cut of the fabric for them."""
    strip_sets: tuple[StripSet, ...]
    """What strips are sewn into."""
    plan: CuttingPlan
    """How the pieces are cut; its cloth says how many pieces of the form there are."""


@dataclass(frozen=True, slots=True)
class Alternate:
    """What one form of cloth, laid one way, does for the blocks of a quilt."""

    form: Form
    """The form as it is laid: strips run along its width."""
    along: Along
    """Which of its sides that is."""
    most: int
    """Most blocks found that one piece gives; 0 if it gives none, or it is yardage."""
    each: CutBlocks | None
    """Blocks in whole shares from one piece, or as many as it gives where that is less than a
    share; None where it gives none, or it is yardage."""
    share: CutBlocks | None
    """A fabric's largest share of blocks, from as many pieces as it takes; None where no number
    of them suffices."""
    pieces: int | None
    """Pieces for the quilt as it is laid, every fabric from its own; None where none suffice or
    it is yardage, of which every fabric takes ``share.plan.buy``."""
    fewest: int | None
    """Pieces if every one gives the blocks of ``each``, with as many fabrics; None likewise."""
    same: bool
    """Whether a fabric's share is cut as it is from the usual form."""


@dataclass(frozen=True, slots=True)
class Blocks:
    """The blocks of a quilt, for which cloth is chosen."""

    block: Block
    """The block."""
    side: Inches
    """Its finished side."""
    shares: tuple[int, ...]
    """Blocks that each fabric makes, at least one."""
    terms: Terms
    """Terms of cutting."""
    ground: Inches
    """Usable width of the other cloth in a block, with whose strips those of the fabric are
    sewn."""
    second: bool = False
    """Whether the second feature has a fabric of its own."""
    one_way: frozenset[str] = frozenset()
    """Which of ``FEATURE``, ``GROUND`` and ``SECOND`` has an up and a down: its pieces are not
    turned, nor is its print by how units are made."""

    @property
    def directional(self) -> bool:
        """Whether some fabric of the blocks has an up and a down."""
        return FEATURE in self.one_way


Solve = Callable[[tuple[Piece, ...], Cloth], CuttingPlan]
"""Returns how pieces are cut from a cloth."""


def making(
    blocks: Blocks,
    count: int,
    cloth: Cloth,
    solve: Solve,
) -> CutBlocks:
    """Return how a number of blocks of one fabric is cut from a cloth.

    Parameters
    ----------
    blocks : Blocks
        What the blocks are.
    count : int
        How many of one fabric, at least 1.
    cloth : Cloth
        What from.
    solve : callable
        Returns how pieces are cut from a cloth.
    """
    layout = Layout(Setting("straight", count, 1, blocks.side), (FEATURE,) * count)
    widths = {FEATURE: cloth.form.width, GROUND: blocks.ground, SECOND: blocks.ground}
    second = SECOND if blocks.second else ""
    listed = cutting_list(
        layout, blocks.block, GROUND, widths, blocks.terms, second, one_way=blocks.one_way
    )
    pieces = tuple(
        Piece(p.use, "", p.width, p.height, p.count, p.turn and not blocks.directional, p.then)
        for p in listed.pieces
        if p.fabric == FEATURE
    )
    mine = tuple(s for s in listed.strip_sets if any(name == FEATURE for name, _ in s.strips))
    return CutBlocks(count, pieces, mine, solve(pieces, cloth))


def alternate(
    blocks: Blocks,
    form: Form,
    along: Along,
    usual: Form,
    solve: Solve,
) -> Alternate:
    """Return what a form of cloth does for the blocks of a quilt.

    Parameters
    ----------
    blocks : Blocks
        What the blocks are, and how many every fabric makes.
    form : Form
        The form of cloth.
    along : Along
        Which of its sides strips run along.
    usual : Form
        The form that its plan of cuts is compared with, as it is laid.
    solve : callable
        Returns how pieces are cut from a cloth.
    """
    laid = form.laid(along)
    largest = max(blocks.shares)
    suffices = {count: _sufficing(blocks, count, laid, solve) for count in set(blocks.shares)}
    share = suffices[largest]
    as_usual = _sufficing(blocks, largest, usual, solve)
    same = bool(share and as_usual and _told(share.plan) == _told(as_usual.plan))
    if laid.open_ended:
        return Alternate(laid, along, 0, None, share, None, None, same)
    most = _most(blocks, laid, solve)
    each = most and _in_shares(blocks, most.blocks, laid, solve)
    found = [suffices[count] for count in blocks.shares]
    pieces = None if None in found else sum(made.plan.cloth.count for made in found if made)
    fewest = ceil(sum(blocks.shares) / each.blocks) if each else None
    return Alternate(
        laid, along, most.blocks if most else 0, each or None, share, pieces, fewest, same
    )


def _sufficing(
    blocks: Blocks,
    count: int,
    form: Form,
    solve: Solve,
) -> CutBlocks | None:
    """Return a number of blocks from as many pieces of a form as it takes."""
    one = making(blocks, count, Cloth("", form), solve)
    if one.plan.verdict.fits:
        return one

    def attempt(number: int) -> CuttingPlan:
        return solve(one.pieces, Cloth("", form, number))

    plan = enough(one.pieces, one.plan, attempt)
    return CutBlocks(count, one.pieces, one.strip_sets, plan) if plan else None


def _most(blocks: Blocks, form: Form, solve: Solve) -> CutBlocks | None:
    """Return the most blocks of one fabric from one piece of a form, by doubling and halving."""
    best: CutBlocks | None = None
    step, rising = 1, True
    while step:
        made = _fitting(blocks, (best.blocks if best else 0) + step, form, solve)
        best = made or best
        rising = rising and made is not None
        step = step * 2 if rising else step // 2
    return best


def _fitting(
    blocks: Blocks,
    count: int,
    form: Form,
    solve: Solve,
) -> CutBlocks | None:
    made = making(blocks, count, Cloth("", form), lambda _, cloth: solve((), cloth))
    area = sum(p.width.value * p.height.value * p.count for p in made.pieces)
    if not made.pieces or form.height is None or area > form.width.value * form.height.value:
        return None
    plan = solve(made.pieces, Cloth("", form))
    return CutBlocks(count, made.pieces, made.strip_sets, plan) if plan.verdict.fits else None


def _in_shares(
    blocks: Blocks,
    most: int,
    form: Form,
    solve: Solve,
) -> CutBlocks | None:
    """Return as many whole shares as a piece gives, or what it gives of one."""
    largest = max(blocks.shares)
    return _fitting(blocks, most // largest * largest or most, form, solve)


def _told(plan: CuttingPlan) -> Counter[object]:
    """Return the strips of a plan and what each gives, whatever the order."""
    return Counter(
        (line.height, len(line.strips), tuple((s.width, s.height, s.each) for s in line.sub_cuts))
        for line in instructions(plan.cuts, plan.cloth.form.width)
    )


def best_of(ways: Sequence[Alternate]) -> Alternate:
    """Return the way to lay a form that takes the fewest pieces; of equal ways the first.

    Raises
    ------
    ValueError
        If there is no way.
    """
    return min(ways, key=lambda way: (way.pieces is None, way.pieces or 0, -way.most))


def ways_of(form: Form, *, directional: bool) -> tuple[Along, ...]:
    """Return the sides of a form that strips may run along."""
    if form.open_ended or form.square or directional or form.kind is FormKind.STRIP:
        return (Along.LONG,)
    return (Along.LONG, Along.SHORT)
