"""What is missing: the cloth that is needed less the cloth at hand."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from fractions import Fraction
from math import floor
from typing import TYPE_CHECKING

from placement.cloth.cutting import Cloth, CuttingPlan, Piece
from placement.cloth.forms import Form, FormKind
from placement.cloth.yardage import SHRINKAGE, shop_step, to_buy
from placement.inches import Inches
from placement.sizes import NOISE, round_up

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from placement.top.setting.finishing import Backing

    Solve = Callable[[tuple[Piece, ...], Cloth], CuttingPlan]

NONE = Inches(Fraction(0))


@dataclass(frozen=True, slots=True)
class Much:
    """How much cloth of one form."""

    count: int = 0
    """Pieces of a pre-cut; 0 for yardage."""
    length: Inches = NONE
    """Length of yardage; 0 for a pre-cut."""


@dataclass(frozen=True, slots=True)
class Need:
    """One cloth of one fabric: what is needed of it, what is at hand, what is missing."""

    fabric: str
    """Id of the fabric."""
    needed: Much
    """What all its pieces take: pieces of its form, or usable length."""
    owned: Much
    """What is at hand of it: pieces of its form, or usable length."""
    buy: Much
    """What is missing, as shops sell it."""
    form: Form
    """What is bought, if anything is."""
    rest: CuttingPlan | None = None
    """How the pieces are cut once that is bought beside cloth at hand that falls short; None
    where the cloth's own plan says it, or nothing is missing."""
    pieces: tuple[Piece, ...] = ()
    """What is cut by that plan: all pieces where it holds the cloth at hand too, else those that
    find no place on it."""
    lacking: tuple[tuple[Piece, int], ...] = ()
    """Pieces that are larger than any cloth that can be bought, and how many of each."""


@dataclass(frozen=True, slots=True)
class BackingNeed:
    """The backing on the shopping list."""

    panels: int
    """Lengths of cloth it is made of."""
    owned: int
    """How many of them are at hand."""
    buy: Inches
    """What is bought for the others."""


@dataclass(frozen=True, slots=True)
class Shopping:
    """What is needed, what is at hand and what is missing."""

    cloths: tuple[Need, ...]
    """Of each cloth of the top, in the order of the cutting plans."""
    backing: BackingNeed
    """Of the backing."""


def need_of(
    plan: CuttingPlan, pieces: Sequence[Piece], owned: Much, yardage: Form, solve: Solve
) -> Need:
    """Return what is missing of one cloth.

    More of the same form is bought where some count of it suffices. What finds no place
    on a leftover, or is larger than the form, is cut from yardage.

    Parameters
    ----------
    plan : CuttingPlan
        How the pieces are cut from it.
    pieces : sequence of Piece
        What is asked of it.
    owned : Much
        What is at hand of it.
    yardage : Form
        What is bought where it can't be had again.
    solve : callable
        Returns how pieces are cut from a cloth.
    """
    found = Need(plan.fabric, _taken(plan), owned, Much(), plan.cloth.form)
    if plan.verdict.fits:
        return replace(found, buy=_less(plan, found.needed, owned))
    if plan.enough is not None and plan.cloth.form.kind is not FormKind.OWN:
        named = tuple(replace(piece, fabric="") for piece in pieces)
        rest = solve(named, replace(plan.cloth, fabric="", count=plan.enough))
        needed = Much(plan.enough)
        return replace(found, needed=needed, buy=Much(plan.enough - owned.count), rest=rest,
                       pieces=named)  # fmt: skip
    form = plan.cloth.form if plan.cloth.form.open_ended else yardage
    return _beside(found, plan, form, solve)


def _taken(plan: CuttingPlan) -> Much:
    if plan.cloth.form.open_ended:
        return Much(length=plan.used)
    return Much(len({cut.sheet for cut in plan.cuts}))


def _less(plan: CuttingPlan, needed: Much, owned: Much) -> Much:
    """Return what is bought of a cloth that suffices."""
    if plan.cloth.form.open_ended:
        return Much(length=plan.buy or NONE)
    return Much(max(0, needed.count - owned.count))


def _beside(need: Need, plan: CuttingPlan, form: Form, solve: Solve) -> Need:
    """Return what is bought for the pieces that find no place on the cloth at hand."""
    cloth = Cloth("", form)
    wanted = Counter(dict(plan.missing))
    rest = solve(_of(wanted), cloth)
    lacking = rest.missing
    if lacking:
        wanted.subtract(dict(lacking))
        rest = solve(_of(+wanted), cloth)
    length = need.needed.length
    if plan.cloth.form.open_ended:
        length = Inches(length.value + rest.used.value)
    return replace(
        need,
        needed=replace(need.needed, length=length),
        buy=Much(length=rest.buy or NONE),
        form=form,
        rest=rest,
        pieces=_of(+wanted),
        lacking=lacking,
    )


def _of(wanted: Counter[Piece]) -> tuple[Piece, ...]:
    return tuple(replace(piece, fabric="", count=count) for piece, count in wanted.items())


def backing_need(
    way: Backing, at_hand: Sequence[Inches], form: Form, shrinkage: Fraction = SHRINKAGE
) -> BackingNeed:
    """Return what is missing of a backing.

    Parameters
    ----------
    way : Backing
        How it is pieced.
    at_hand : sequence of Inches
        Usable lengths of its fabric that are at hand.
    form : Form
        The yardage it is cut from.
    shrinkage : Fraction
        Share of bought yardage lost in the wash.
    """
    there = sum(floor(float(length) / way.panel_length + NOISE) for length in at_hand)
    owned = min(way.panels, there)
    missing = way.panel_length * (way.panels - owned)
    buy = to_buy(round_up(missing), shop_step(form), shrinkage) if missing else NONE
    return BackingNeed(way.panels, owned, buy)
