"""Verdicts on cutting in a quilter's words, with their numbers and the fabric they speak of."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from api.wording.english import listed, lowered, number
from api.wording.pieces import Hand, cloth_words, forms
from placement.cloth.cutting import Aim, CuttingPlan, Fit, Otherwise, Piece
from placement.cloth.handwork import Handwork
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence


SAME_PLAN = "Least cloth and simplest cutting are the same plan."
"""Said of yardage, where the two may differ."""

_STACKED = ", some pieces stacked in a strip"


def sentence(plan: CuttingPlan, hand: Hand) -> str:
    """Say whether a cloth suffices, by how much, and what to do if not."""
    if plan.too_large is not None:
        return _too_large(plan, plan.too_large, hand)
    if plan.verdict is Fit.SHORT:
        return _short(plan, hand)
    if plan.verdict is Fit.UNDECIDED:
        return _undecided(plan, hand)
    if plan.buy is not None:
        return _needs(plan, plan.buy, hand)
    if not plan.cuts:
        return f"Nothing is to be cut from {cloth_words(plan.cloth)}."
    return _fits(plan, hand)


def _fits(plan: CuttingPlan, hand: Hand) -> str:
    how = _STACKED + "," if plan.verdict is Fit.STACKED else ""
    side = "length" if plan.cloth.form.open_ended else "height"
    if plan.cloth.form.square and plan.enough is not None:
        count, all_of_it = plan.cloth.count, plan.enough == plan.cloth.count
        much = "all are needed" if all_of_it else f"{forms(plan.cloth.form.kind, plan.enough)} do"
        return f"Fits {cloth_words(plan.cloth)}{how}{'' if count == 1 else f'; {much}'}."
    if not plan.spare.value:
        return f"Fits {cloth_words(plan.cloth)}{how} with no {side} to spare: square up sparingly."
    left = f"{hand.lengths.cut(plan.spare)} of {side}"
    return f"Fits {cloth_words(plan.cloth)}{how} with {left} to spare."


def _needs(plan: CuttingPlan, buy: Inches, hand: Hand) -> str:
    form, stacked = plan.cloth.form, plan.verdict is Fit.STACKED
    return (
        f"Takes {hand.lengths.cut(plan.used)} of cloth {hand.lengths.cut(form.width)} wide"
        f"{_STACKED if stacked else ''}; buy {hand.lengths.bought(buy, form.units)}."
    )


def _short(plan: CuttingPlan, hand: Hand) -> str:
    """Say by how much cloth is short, as usable and as sold, and what finds no place."""
    cut, cloth = hand.lengths.cut, plan.cloth
    left_out = f"there is no place for {listed(hand.missing(plan.missing))}"
    if cloth.count > 1:
        return (
            f"Short: in {cloth_words(cloth)} {left_out}, which would take another piece "
            f"{cut(plan.short)} high{_enough(plan)}."
        )
    usable = Inches(plan.needed.value - plan.short.value)
    least = Inches(max(Fraction(0), plan.bound.value - usable.value))
    most = f", perhaps by {cut(least)} only" if least < plan.short else ""
    room = f"has {cut(usable)} of usable height{_as_sold(plan, hand)}"
    if cloth.form.open_ended:
        room = f"is {cut(usable)} long"
    return (
        f"Short by {cut(plan.short)}{most}: the strips take {cut(plan.needed)} and "
        f"{cloth_words(cloth)} {room}; {left_out}{_enough(plan)}."
    )


def _as_sold(plan: CuttingPlan, hand: Hand) -> str:
    """Say what the cloth would give if nothing were lost to squaring it up."""
    if plan.sold_short is None:
        return ""
    sold = f" ({hand.lengths.sold(plan.cloth.form)} as sold"
    if not plan.sold_short.value:
        return f"{sold}: just enough if nothing is lost to squaring up)"
    return f"{sold}: short by {hand.lengths.cut(plan.sold_short)})"


def _enough(plan: CuttingPlan) -> str:
    return "" if plan.enough is None else f"; {forms(plan.cloth.form.kind, plan.enough)} suffice"


def _too_large(plan: CuttingPlan, piece: Piece, hand: Hand) -> str:
    """Say that a piece fits the cloth no way round."""
    cut, form = hand.lengths.cut, plan.cloth.form
    height = plan.cloth.length or form.height
    room = f"{cut(form.width)} wide"
    if height is not None:
        room = hand.lengths.by(cut(height), cut(form.width))
    turn = "either way round" if piece.turn else "without turning it"
    noun, purpose = hand.noun(piece.use, square=piece.width == piece.height)
    size = hand.lengths.by(cut(piece.width), cut(piece.height))
    return (
        f"A {noun} of {size}{f' for {purpose}' if purpose else ''} does not fit "
        f"{cloth_words(plan.cloth)} ({room} usable) {turn}; use larger cloth or join strips."
    )


def _undecided(plan: CuttingPlan, hand: Hand) -> str:
    """Say that neither a fitting plan nor a proof against one was found."""
    cut = hand.lengths.cut
    more = _enough(plan) or "; have a little more cloth at hand"
    return (
        f"Undecided: the best plan found takes {cut(plan.needed)} of strips from "
        f"{cloth_words(plan.cloth)} and leaves out {listed(hand.missing(plan.missing))}; no plan "
        f"takes less than {cut(plan.bound)}{more}."
    )


def beside(plan: CuttingPlan, hand: Hand) -> Iterator[str]:
    """Say what the other aim would take, and what a little more usable width would."""
    other, cut, units = plan.otherwise, hand.lengths.cut, plan.cloth.form.units

    def takes(used: Inches, buy: Inches | None) -> str:
        bought = "" if buy is None else f" (buy {hand.lengths.bought(buy, units)})"
        return f"{cut(used)}{bought}"

    if other is not None and other.handwork != plan.handwork:
        name = "The least cloth" if plan.aim is Aim.SIMPLEST else "The simplest plan"
        yield (
            f"{name} takes {takes(other.used, other.buy)} with {_handwork(other.handwork)}; "
            f"this takes {cut(plan.used)}{_costs(plan.used, other.used, hand)} with "
            f"{_handwork(plan.handwork)}."
        )
        yield from _grains(plan, other)
    elif other is not None and plan.buy is not None:
        yield SAME_PLAN
    if plan.wider is not None:
        halves = "half strips would do: " if plan.wider.halves else ""
        yield (
            f"With {cut(plan.wider.width)} of usable width {halves}"
            f"{takes(plan.wider.used, plan.wider.buy)}{'' if halves else ' would do'}; measure "
            "your cloth."
        )


def _grains(plan: CuttingPlan, other: Otherwise) -> Iterator[str]:
    """Say that one grain goes before what simple cutting may cost, where that counted."""
    if other.two_grains:
        which = "The least cloth" if plan.aim is Aim.SIMPLEST else "This"
        yield (
            f"{which} has strip sets of two grains; the simplest plan keeps to one, whatever it "
            "may cost."
        )


def aims(plans: Sequence[CuttingPlan], hand: Hand) -> str:
    """Say in one line what both aims ask for in all, and what the simplest costs.

    '' where nothing is bought by the length and both are the same.

    Parameters
    ----------
    plans : sequence of CuttingPlan
        How every fabric is cut, by the same aim.
    hand : Hand
        How it is written.
    """
    told = [(plan, plan.otherwise) for plan in plans if plan.otherwise is not None]
    if all(plan.handwork == other.handwork for plan, other in told):
        return SAME_PLAN if any(plan.buy for plan, _ in told) else ""
    here = sum((plan.handwork for plan, _ in told), Handwork.NONE)
    there = sum((other.handwork for _, other in told), Handwork.NONE)
    more = sum((plan.buy.value - other.buy.value for plan, other in told
                if plan.buy is not None and other.buy is not None), Fraction(0))  # fmt: skip
    chosen, instead = ("Simplest", "least cloth")
    if told[0][0].aim is Aim.LEAST:
        chosen, instead = ("Least cloth", "simplest")
    cloth = f"{hand.lengths.bought(Inches(abs(more)))} {'less' if more > 0 else 'more'} to buy"
    grain = any(other.two_grains for _, other in told)
    return (
        f"{chosen}: {_handwork(here)}; {instead}: {_handwork(there)}, "
        f"{cloth if more else 'as much to buy'}."
        + " Strip sets of one grain go before what simple cutting may cost."
        * grain
    )


def _costs(used: Inches, other: Inches, hand: Hand) -> str:
    """Say how much more or less cloth this is, after a comma."""
    more = used.value - other.value
    if not more:
        return ", as much,"
    return f", {hand.lengths.cut(Inches(abs(more)))} {'more' if more > 0 else 'less'},"


def _handwork(work: Handwork) -> str:
    return listed(
        (
            number(work.instructions, "instruction"),
            number(work.settings, "ruler setting"),
            number(work.cuts, "cut"),
        )
    )


def in_short(plan: CuttingPlan, hand: Hand) -> str:
    """Say a verdict in a few words, in small letters."""
    if plan.verdict is Fit.UNDECIDED:
        return "may not suffice"
    if plan.too_large is not None:
        return "too small for a piece"
    if plan.verdict is Fit.SHORT:
        if plan.cloth.count > 1 and plan.missing:
            return f"short of {listed(hand.missing(plan.missing))}"
        return f"short by {hand.lengths.cut(plan.short)}"
    if plan.buy is not None:
        return f"buy {hand.lengths.bought(plan.buy, plan.cloth.form.units)}"
    how = "off-cuts stacked, " if plan.verdict is Fit.STACKED else ""
    return f"{how}{hand.lengths.cut(plan.spare) if plan.spare.value else 'nothing'} to spare"


def proof(plan: CuttingPlan, hand: Hand) -> Iterator[str]:
    """Say how far from the least length the plan for yardage can be."""
    if plan.buy is None:
        return
    if plan.bound >= plan.used:
        yield "No plan takes less: that is proved."
    else:
        yield f"No plan takes less than {hand.lengths.cut(plan.bound)}: that is proved."


def problems(plans: Iterable[CuttingPlan], names: Sequence[str], hand: Hand) -> Iterator[str]:
    """Yield what is wrong with cloths that do not suffice; fabrics of which the same is true share.

    Parameters
    ----------
    plans : iterable of CuttingPlan
        Those that do not fit.
    names : sequence of str
        The name of each one's fabric, in the same order.
    hand : Hand
        How they are written.
    """
    alike: dict[str, list[str]] = {}
    for plan, name in zip(plans, names, strict=True):
        alike.setdefault(sentence(plan, hand), []).append(name)
    for said, fabrics in alike.items():
        who = fabrics[0]
        if len(fabrics) > 1:
            who = f"Each of {number(len(fabrics), 'fabric')} ({', '.join(fabrics)})"
        yield f"{who}: {lowered(said)}"
