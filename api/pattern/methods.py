"""What each method of making units does to the cloth: the whole plan is cut again for every one."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from api.pattern.checking import approved
from api.pattern.cut_book import CutBook, cut_book
from api.pattern.faulty import FaultsError
from api.pattern.plan import Plan
from placement.checks.methods import Told, judge_methods
from placement.cloth.cutting import PieceKind
from placement.cloth.methods import METHODS
from placement.top.request import Doing, Progress, Stage, unwatched
from placement.units import UnitKind, take_down

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.pattern.sewing import Sewing

DECISIONS = {
    UnitKind.HALF: "triangles",
    UnitKind.GOOSE: "geese",
    UnitKind.QUARTER: "quarters",
}
"""Which decision chooses the method of a kind of unit."""

_PIECES = {
    UnitKind.HALF: (PieceKind.HALF_SQUARE, PieceKind.HALF_SQUARE_STRIP),
    UnitKind.GOOSE: (PieceKind.LARGE_GOOSE, PieceKind.SMALL_GOOSE),
    UnitKind.QUARTER: (PieceKind.QUARTER_SQUARE,),
}
"""What is cut for a kind of unit."""


@dataclass(frozen=True, slots=True)
class Effect:
    """What one method of making units does."""

    unit: UnitKind
    """The kind of unit."""
    method: str
    """The method, as the decision names it."""
    plan: Plan
    """The plan with that method."""
    book: CutBook
    """What is cut for it then."""
    units: int
    """Units that the blocks take."""
    made: int
    """Units that come of what is cut."""
    pieces: int
    """Pieces that are cut for them."""
    shown: float
    """How much of the cloth cut for them shows in the quilt, 0 to 1."""


def asked_methods(sewing: Sewing) -> dict[UnitKind, str]:
    """Return how units are asked to be made, by their kind."""
    return {kind: str(getattr(sewing, name)) for kind, name in DECISIONS.items()}


def kinds_of(plan: Plan) -> tuple[UnitKind, ...]:
    """Return the kinds of units of a plan's block that are made in several ways."""
    kinds = dict.fromkeys(unit.kind for unit in take_down(plan.brief.pattern()).units)
    return tuple(kind for kind in kinds if kind in DECISIONS)


def checked_methods(
    plan: Plan, book: CutBook, progress: Progress = unwatched
) -> tuple[Effect, ...]:
    """Return what every way to make the units of a plan does, each seen by the judges.

    Parameters
    ----------
    plan : Plan
        A plan with a layout and a background.
    book : CutBook
        What is cut for it.
    progress : Progress
        Told before each is tried; raising inside it stops the work.

    Raises
    ------
    FaultsError
        If a judge finds fault with one.
    """
    told = effects(plan, book, progress)
    for each in told:
        approved(each.plan, each.book)
    blocks = sum(plan.layout.counts().values()) if plan.layout else 0
    faults = judge_methods(
        plan.brief.pattern(), float(plan.brief.setting.block_size), blocks,
        [Told(e.unit, e.method, e.units, e.made, e.pieces, e.shown, e.book.pieces) for e in told],
    )  # fmt: skip
    if faults:
        raise FaultsError(plan, faults)
    return told


def effects(plan: Plan, book: CutBook, progress: Progress = unwatched) -> tuple[Effect, ...]:
    """Return what every method does for the units of a plan's block, the ones in use first.

    Parameters
    ----------
    plan : Plan
        A plan with a layout and a background.
    book : CutBook
        What is cut for it.
    progress : Progress
        Told before each method is tried; raising inside it stops the work.
    """
    asked = asked_methods(plan.brief.sewing)
    ways = [(kind, method) for kind in kinds_of(plan)
            for method in sorted(METHODS[kind], key=lambda each: each != asked[kind])]  # fmt: skip
    found = []
    for done, (kind, method) in enumerate(ways):
        progress(done / len(ways), Doing(Stage.TRY, method))
        usual = method == asked[kind]
        found.append(_effect(plan, book, kind, method) if usual else _tried(plan, kind, method))
    return tuple(found)


def _tried(plan: Plan, kind: UnitKind, method: str) -> Effect:
    chosen: dict[str, Any] = {DECISIONS[kind]: method}
    sewing = replace(plan.brief.sewing, **chosen)
    other = replace(plan, brief=replace(plan.brief, sewing=sewing))
    return _effect(other, cut_book(other), kind, method)


def _effect(plan: Plan, book: CutBook, kind: UnitKind, method: str) -> Effect:
    pieces = [piece for piece in book.pieces if piece.kind in _PIECES[kind]]
    cut = sum(piece.count * float(piece.width) * float(piece.height) for piece in pieces)
    units = dict(_units(plan, kind))
    side = float(plan.brief.setting.block_size)
    area = sum(count * wide * high for (wide, high), count in units.items()) * side * side
    made = sum(units for making in book.makings if making.unit.kind is kind
               for _, units in making.made)  # fmt: skip
    return Effect(
        kind, method, plan, book, sum(units.values()), made,
        sum(piece.count for piece in pieces), area / cut if cut else 0.0,
    )  # fmt: skip


def _units(plan: Plan, kind: UnitKind) -> Iterator[tuple[tuple[float, float], int]]:
    """Yield sizes of a kind of unit, in parts of the block's side, and how many there are."""
    blocks = sum(plan.layout.counts().values()) if plan.layout else 0
    found: dict[tuple[float, float], int] = {}
    for unit, count in take_down(plan.brief.pattern()).units.items():
        if unit.kind is kind:
            size = float(unit.width), float(unit.height)
            found[size] = found.get(size, 0) + count * blocks
    yield from found.items()
