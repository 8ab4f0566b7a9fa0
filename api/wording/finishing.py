"""What goes around the blocks in words: borders, binding, backing and batting."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.wording.english import capital, number
from api.wording.names import name_of
from api.wording.pieces import Hand, border_name, hand
from placement.cloth.yardage import EIGHTH_YARD, TEN_CENTIMETRES, to_buy
from placement.inches import Inches
from placement.sizes import round_up
from placement.top.setting.finishing import (
    Backing,
    Binding,
    Border,
    Run,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.pattern.brief import Brief
    from api.pattern.cut_book import CutBook
    from api.pattern.plan import Plan


def finishing(plan: Plan, book: CutBook) -> Iterator[tuple[str, str]]:
    """Yield each thing that goes around the blocks: what it is, and how much it takes."""
    told = hand(plan, book)
    for which, frame in enumerate(book.borders, 1):
        yield _border(plan, which, frame, told)
    name = f"Binding of {name_of(plan, book.binding_fabric)}"
    yield name + ", on the bias" * (book.binding.square is not None), _binding(book.binding, told)
    back = f"Backing of {name_of(plan, book.backing_fabric)}" if book.backing_fabric else "Backing"
    first, *others = book.backing
    yield back + _seams(first), _lengths(first, plan.brief, told)
    for way in others:
        more = _more(way, first, plan.brief, told)
        yield f"{back}, or{_seams(way)[1:]}", f"{_lengths(way, plan.brief, told)}, {more}"
    yield "Batting", told.lengths.by(*(told.lengths.finished(side) for side in book.batting))


def _border(plan: Plan, which: int, frame: Border, told: Hand) -> tuple[str, str]:
    sides, ends = (told.lengths.cut(side) for side in (frame.sides, frame.ends))
    corner = "butted" if frame.corner == "butted" else "mitred"
    first = " first, then " if frame.corner == "butted" else ", "
    name = capital(border_name(which, told.borders))
    much = (
        f"cut {told.lengths.cut(frame.cut)} wide; two sides of {sides}{first}top and bottom of "
        f"{ends}. Measure your top through the middle before cutting to length"
    )
    return f"{name} of {name_of(plan, frame.fabric)}, {corner}", much


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
        f"{number(way.panels, 'length')} of {told.lengths.finished(way.panel_length)}; buy "
        f"{backing_amount(way, brief, told)}"
    )
    if way.saving_margin is not None:
        line += f"; a margin of {told.lengths.cut(way.saving_margin)} a side would save a length"
    return line
