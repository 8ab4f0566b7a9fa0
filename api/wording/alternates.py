"""Other forms of cloth in words: a table side by side, and how the chosen ones are cut."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from api.wording.cuts import cut_steps
from api.wording.english import capital, number
from api.wording.pieces import Hand, form_name, forms
from placement.cloth.forms import Along

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from placement.cloth.alternates import Alternate


@dataclass(frozen=True, slots=True)
class FormWords:
    """One form of cloth in the table."""

    name: str
    """What it is, with its size as sold and the side that strips run along."""
    needed: str
    """Pieces, or yardage, for the quilt as it is laid."""
    gives: str
    """Blocks from one piece, and what is left of it."""
    fewest: str
    """Pieces if each gives all it can; '' where that is no fewer."""
    cuts: str
    """Whether it is cut like the usual form."""


def form_words(told: Alternate, hand: Hand) -> FormWords:
    """Say what one form of cloth does for the blocks of a quilt."""
    return FormWords(_name(told, hand), _needed(told, hand), _gives(told, hand), _fewest(told),
                     _cuts(told))  # fmt: skip


def _name(told: Alternate, hand: Hand) -> str:
    name = capital(form_name(told.form.kind))
    along = "" if told.along is Along.LONG else ", strips along its short side"
    return f"{name}, {hand.lengths.sold(told.form.laid(Along.LONG))}{along}"


def _needed(told: Alternate, hand: Hand) -> str:
    form = told.form
    if told.share is None:
        return "too small for a piece"
    if told.share.plan.buy is not None:
        return f"{hand.lengths.bought(told.share.plan.buy, form.units)} of each fabric"
    if told.pieces is None:
        return "no number of them suffices"
    count = told.share.plan.cloth.count
    # Fabrics that make fewer blocks than others may take fewer pieces.
    each = f"up to {count}" if count > 1 else "1"
    return f"{forms(form.kind, told.pieces)}, {each} of each fabric"


def _gives(told: Alternate, hand: Hand) -> str:
    each = told.each
    if each is None:
        if told.form.open_ended or told.share is None:
            return ""
        return "less than a block from one"
    left = each.plan.spare
    spare = f"{hand.lengths.cut(left)} of height" if left.value else "nothing"
    most = f" (up to {told.most})" if told.most > each.blocks else ""
    return f"{number(each.blocks, 'block')} from one{most}, {spare} to spare"


def _fewest(told: Alternate) -> str:
    if told.each is None or told.fewest is None or told.fewest >= (told.pieces or 0):
        return ""
    count = told.fewest
    return (
        f"{forms(told.form.kind, count)} would do with {number(count, 'fabric')}, "
        f"{number(told.each.blocks, 'block')} each"
    )


def _cuts(told: Alternate) -> str:
    if told.share is None:
        return ""
    return "cut in the same way" if told.same else "cut otherwise than the usual form"


def form_sentence(told: Alternate, hand: Hand) -> str:
    """Say the same in one sentence."""
    words = form_words(told, hand)
    parts = (words.needed, words.gives, words.fewest, words.cuts)
    return f"{words.name}: {'; '.join(part for part in parts if part)}."


def alternates_text(every: Iterable[Alternate], chosen: Iterable[Alternate], hand: Hand) -> str:
    """Return what every form of cloth does, then how the chosen ones are cut, as text."""
    lines = [form_sentence(each, hand) for each in every]
    for each in of_another_way(chosen):
        heading, *steps = cutting_of(each, hand)
        lines += ["", heading, *(f"- {step}" for step in steps)]
    return "\n".join(lines) + "\n"


def of_another_way(told: Iterable[Alternate]) -> Iterator[Alternate]:
    """Yield the alternates that are cut in another way than the usual form, each way once."""
    seen = set()
    for each in told:
        if each.share is not None and not each.same and each.share.plan.cuts not in seen:
            seen.add(each.share.plan.cuts)
            yield each


def cutting_of(told: Alternate, hand: Hand) -> Iterator[str]:
    """Yield how a fabric's blocks are cut from a form: a heading, then a line for like strips."""
    if told.share is None:
        return
    cloth = told.share.plan.cloth
    much = form_name(cloth.form.kind) if cloth.form.open_ended else forms(
        cloth.form.kind, cloth.count
    )  # fmt: skip
    along = "" if told.along is Along.LONG else ", strips along the short side"
    yield f"{number(told.share.blocks, 'block')} of one fabric from {much}{along}"
    for _, words in cut_steps(told.share.plan, hand):
        yield words
