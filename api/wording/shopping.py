"""The shopping list in words: what is needed of each fabric, what is at hand, what to buy."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from api.wording.cuts import cut_steps
from api.wording.english import capital, listed, lowered, number
from api.wording.names import name_of
from api.wording.pieces import Hand, forms, hand
from placement.cloth.cutting import PieceKind
from placement.cloth.yardage import ENDS

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from api.pattern.cut_book import CutBook
    from api.pattern.plan import Plan
    from placement.cloth.cutting import CuttingPlan
    from placement.cloth.forms import Form
    from placement.cloth.shopping import Much, Need

PURPOSES = {
    PieceKind.SIDE: "setting triangles",
    PieceKind.CORNER: "setting triangles",
    PieceKind.PLAIN_BLOCK: "plain blocks",
    PieceKind.SASH: "sashing",
    PieceKind.LONG_SASH: "sashing",
    PieceKind.JOINED_SASH: "sashing",
    PieceKind.CORNERSTONE: "cornerstones",
    PieceKind.HALF_CORNERSTONE: "cornerstones",
    PieceKind.BORDER: "border",
    PieceKind.BINDING: "binding",
    PieceKind.BIAS_BINDING: "binding",
}
"""What a fabric is for, by what is cut from it, in the order told."""


@dataclass(frozen=True, slots=True)
class ShoppingRow:
    """One row of the shopping list."""

    what: str
    """The fabric, or fabrics of which the same is true."""
    purpose: str
    """What it is for."""
    needed: str
    """How much is needed."""
    owned: str
    """How much of it is at hand; '' for nothing."""
    buy: str
    """What to buy; '' for nothing."""
    cuts: tuple[str, ...] = ()
    """How what is bought beside cloth at hand is cut."""


def purpose(plan: Plan, book: CutBook, fabric: str, cloth: CuttingPlan | None = None) -> str:
    """Say what a fabric is for, or one of its cloths."""
    pieces = book.asked_of(cloth) if cloth else book.pieces
    kinds = {piece.kind for piece in pieces if piece.fabric == fabric}
    found = [use for kind, use in PURPOSES.items() if kind in kinds]
    if fabric == plan.background:
        found.insert(0, "background")
    if fabric == plan.brief.second_fabric and plan.brief.pattern().has("S"):
        found.insert(0, "second feature")
    blocks = plan.layout.counts().get(fabric, 0) if plan.layout else 0
    if blocks and kinds - PURPOSES.keys():
        found.insert(0, number(blocks, "block"))
    return capital(listed(list(dict.fromkeys(found))))


def shopping_rows(plan: Plan, book: CutBook, told: Hand) -> list[ShoppingRow]:
    """Return the shopping list, what is to be bought first; fabrics with the same row share it.

    Parameters
    ----------
    plan : Plan
        The plan.
    book : CutBook
        What is cut for it.
    told : Hand
        How it is written.
    """
    alike: dict[tuple[ShoppingRow, object], list[str]] = {}
    for cloth, need in zip(book.cloths, book.shopping.cloths, strict=True):
        if not (cloth.cuts or need.owned.count or need.owned.length.value):
            continue
        row = _row(plan, book, cloth, need, told)
        alike.setdefault((row, need.form), []).append(name_of(plan, need.fabric))
    rows = [replace(row, what=_names(names, row)) for (row, _), names in alike.items()]
    rows.append(_backing(plan, book, told))
    wide, high = (told.lengths.cut(side) for side in book.batting)
    rows.append(ShoppingRow("Batting", "", told.lengths.by(wide, high), "",
                            told.lengths.by(wide, high)))  # fmt: skip
    return [*(row for row in rows if row.buy), *(row for row in rows if not row.buy)]


def _names(names: list[str], row: ShoppingRow) -> str:
    if len(names) == 1:
        return names[0]
    each = f"Each of {len(names)} fabrics"
    return f"{each}: {', '.join(names)}" if row.buy else each


def _row(plan: Plan, book: CutBook, cloth: CuttingPlan, need: Need, told: Hand) -> ShoppingRow:
    cuts: tuple[str, ...] = ()
    needed = _much(need.needed, cloth.cloth.form, told)
    if need.rest is not None and need.rest.cloth.form.open_ended:
        cuts = tuple(words for _, words in cut_steps(need.rest, told))
        if not cloth.cloth.form.open_ended:
            needed += f" and {told.lengths.cut(need.rest.used)} of yardage"
    buy = [_bought(need, told)] if need.buy.count or need.buy.length.value else []
    if need.lacking:
        pieces = listed(told.missing(need.lacking))
        buy.append(f"no cloth holds {pieces}")
    return ShoppingRow(
        "",
        purpose(plan, book, need.fabric, cloth),
        needed,
        _much(need.owned, cloth.cloth.form, told),
        "; ".join(buy),
        cuts,
    )


def _much(much: Much, form: Form, told: Hand) -> str:
    if form.open_ended:
        return told.lengths.cut(much.length) if much.length.value else ""
    return forms(form.kind, much.count) if much.count else ""


def _bought(need: Need, told: Hand) -> str:
    if need.form.open_ended:
        return told.lengths.bought(need.buy.length, need.form.units)
    return forms(need.form.kind, need.buy.count)


def _backing(plan: Plan, book: CutBook, told: Hand) -> ShoppingRow:
    need, way, fabric = book.shopping.backing, book.backing[0], book.backing_fabric
    each = told.lengths.cut(way.panel_length)
    buy = told.lengths.bought(need.buy, plan.brief.units) if need.buy.value else ""
    owned = f"{number(need.owned, 'length')} of {each}" if need.owned else ""
    what = f"Backing of {name_of(plan, fabric)}" if fabric else "Backing"
    return ShoppingRow(what, "", f"{number(need.panels, 'length')} of {each}", owned, buy)


def shopping_lines(plan: Plan, book: CutBook) -> Iterator[str]:
    """Yield the shopping list, a line for what is bought, then what is at hand in one."""
    rows = shopping_rows(plan, book, hand(plan, book))
    for row in rows:
        if row.buy:
            yield _line(row)
            if row.cuts:
                first, *later = row.cuts
                yield f"Of the {row.what} you buy, {' '.join((lowered(first), *later))}"
    yield from yardage_notes(plan, book, hand(plan, book))
    there = [row for row in rows if not row.buy]
    if there:
        yield f"Nothing to buy: {'; '.join(_there(there))}."


def yardage_notes(plan: Plan, book: CutBook, told: Hand) -> Iterator[str]:
    """Say what is in lengths to buy, why cloth is sold wider than it is cut, how to measure it.

    Parameters
    ----------
    plan : Plan
        The plan.
    book : CutBook
        What is cut for it.
    told : Hand
        How it is written.
    """
    lost = plan.brief.sewing.shrinkage
    long = [cloth.cloth for cloth in book.cloths if cloth.cloth.form.open_ended]
    if any(need.form.open_ended and need.buy.length.value for need in book.shopping.cloths):
        washed = f" and {lost:g} % for shrinking" if lost else ""
        ends = told.lengths.cut(float(ENDS))
        yield f"In lengths to buy are {ends} for squaring up both ends{washed}."
    for wide, usable in dict.fromkeys((c.form.nominal_width, c.form.width) for c in long):
        if usable < wide:
            yield (
                f"Yardage {told.lengths.cut(wide)} wide as sold is cut {told.lengths.cut(usable)} "
                "wide: without selvages, squared up and washed."
            )
    if any(cloth.length is not None for cloth in long):
        yield "Yardage at hand counts as you measure it after washing and squaring up."


def _line(row: ShoppingRow) -> str:
    uses = f", for {row.purpose[:1].lower()}{row.purpose[1:]}" if row.purpose else ""
    each = " of each" if row.what.startswith("Each") else ""
    if row.needed == row.buy:
        return f"{row.what}{uses}: buy {row.buy}{each}."
    owned = f", {row.owned} at hand" if row.owned else ""
    needs = f"needs {row.needed}{owned}; " if row.needed else ""
    return f"{row.what}{uses}: {needs}buy {row.buy}{each}."


def _there(rows: Iterable[ShoppingRow]) -> Iterator[str]:
    for row in rows:
        what = row.what[:1].lower() + row.what[1:] if row.what.startswith("Each") else row.what
        needs = f"needs {row.needed}, " if row.needed and row.needed != row.owned else ""
        yield f"{what} ({needs}{row.owned} at hand)"
