"""The judge of cutting plans says no to every planted fault."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from placement.checks.cutting import judge_cutting
from placement.checks.fault import FaultKind
from placement.cloth.cutting import Cloth, CuttingPlan, Fit, Piece, PieceKind, Use
from placement.cloth.forms import Form, FormKind
from placement.cloth.strips import cut
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Callable


def _size(text: str | int) -> Inches:
    return Inches.parse(text)


SHEET = Form(FormKind.FAT_EIGHTH, _size(12), _size(9), _size(12), _size(9))
SQUARE, SMALL, SASH = Use(PieceKind.PATCH), Use(PieceKind.PATCH, 2), Use(PieceKind.SASH)
PIECES = (
    Piece(SQUARE, "", _size(6), _size(6), 1),
    Piece(SMALL, "", _size(3), _size(3), 4),
    Piece(SASH, "", _size(3), _size(8), 1),
)


@pytest.fixture(scope="module")
def plan() -> CuttingPlan:
    """Return a sound plan: strip 1 (6 in) with a square and stacks, strip 2 with the sash."""
    made = cut(PIECES, Cloth("", SHEET))
    assert made.verdict == "fits with stacking"
    return made


def _with(plan: CuttingPlan, kind: str, at: int = 0, **changes: Any) -> CuttingPlan:
    """Change one cut: the ``at``-th of its kind."""
    number = [entry.number for entry in plan.cuts if entry.kind == kind][at]
    cuts = tuple(replace(c, **changes) if c.number == number else c for c in plan.cuts)
    return replace(plan, cuts=cuts)


def _without(plan: CuttingPlan, kind: str) -> CuttingPlan:
    return replace(plan, cuts=tuple(c for c in plan.cuts if c.kind != kind))


def _stacked_piece(plan: CuttingPlan) -> int:
    """Return which of the pieces is the first one in a stack."""
    stacks = {entry.number for entry in plan.cuts if entry.kind == "stack"}
    pieces = [entry for entry in plan.cuts if entry.kind == "piece"]
    return next(at for at, entry in enumerate(pieces) if entry.inside in stacks)


def _sash(plan: CuttingPlan) -> int:
    """Return which of the pieces is the sash, which lies turned."""
    return [entry.use for entry in plan.cuts if entry.kind == "piece"].index(SASH)


def test_a_sound_plan_has_no_fault(plan: CuttingPlan) -> None:
    assert judge_cutting(PIECES, plan) == ()


FAULTS: dict[str, tuple[Callable[[CuttingPlan], CuttingPlan], FaultKind]] = {
    "numbers": (lambda p: _with(p, "strip", number=7), FaultKind.CUT_NUMBERS),
    "order": (lambda p: replace(p, cuts=p.cuts[::-1]), FaultKind.STRIP_LATE),
    "from the top": (lambda p: _with(p, "strip", y=_size(8)), FaultKind.STRIP_ABOVE),
    "sheet": (lambda p: _with(p, "piece", sheet=1), FaultKind.SHEET),
    "right edge": (lambda p: _with(p, "piece", x=_size(10)), FaultKind.OFF_SIDE),
    "bottom edge": (lambda p: _with(p, "strip", 1, y=_size(7)), FaultKind.OFF_END),
    "across": (lambda p: _with(p, "strip", width=_size(11)), FaultKind.STRIP_ACROSS),
    "parent": (lambda p: _with(p, "piece", inside=99), FaultKind.PARENT),
    "no parent": (lambda p: _with(p, "piece", inside=0), FaultKind.PARENT),
    "other sheet": (lambda p: _with(p, "piece", sheet=1), FaultKind.OTHER_SHEET),
    "top edge": (lambda p: _with(p, "piece", y=_size("1/2")), FaultKind.NOT_FROM_TOP),
    "strip's bottom": (lambda p: _with(p, "piece", height=_size(7)), FaultKind.PAST_ENDS),
    "stack's span": (lambda p: _with(p, "stack", height=_size(5)), FaultKind.STACK_SPAN),
    "stack's side": (
        lambda p: _with(p, "piece", _stacked_piece(p), x=_size("6 1/4"), width=_size("2 1/2")),
        FaultKind.NOT_FROM_LEFT,
    ),
    "overlap": (lambda p: _with(p, "stack", x=_size(3)), FaultKind.NO_CUT_PARTS),
    "pieces overlap": (
        lambda p: _with(p, "piece", 0, width=_size(7), height=_size(5)), FaultKind.OVERLAP,
    ),
    "strips overlap": (lambda p: _with(p, "strip", 1, y=_size(5)), FaultKind.NO_CUT_PARTS),
    "too many": (
        lambda p: _with(p, "piece", 0, use=SMALL, width=_size(3), height=_size(3)),
        FaultKind.CUT_TOO_MANY,
    ),
    "too few": (lambda p: replace(p, cuts=p.cuts[:-1]), FaultKind.CUT_COUNT),
    "missing": (lambda p: replace(p, missing=((PIECES[2], 1),)), FaultKind.CUT_COUNT),
    "wrong size": (lambda p: _with(p, "piece", width=_size(5)), FaultKind.CUT_TOO_MANY),
    "turned": (lambda p: _with(p, "piece", _sash(p), turned=False), FaultKind.LIES_WRONG),
    "used": (lambda p: replace(p, used=_size(8)), FaultKind.USED),
    "bound": (lambda p: replace(p, bound=_size("9 1/4")), FaultKind.BOUND),
    "waste": (lambda p: replace(p, waste=0.5), FaultKind.WASTE),
    "spare": (lambda p: replace(p, spare=_size(1)), FaultKind.SPARE),
    "short": (lambda p: replace(p, verdict=Fit.SHORT), FaultKind.SHORT_UNSAID),
    "verdict": (lambda p: replace(p, verdict=Fit.FITS), FaultKind.VERDICT),
    "no stack": (lambda p: _without(p, "stack"), FaultKind.VERDICT),
}  # fmt: skip


@pytest.mark.parametrize("name", FAULTS)
def test_a_planted_fault_is_found(plan: CuttingPlan, name: str) -> None:
    plant, kind = FAULTS[name]
    faults = judge_cutting(PIECES, plant(plan))
    assert kind in {fault.kind for fault in faults}, faults


def test_a_directional_piece_must_not_be_turned(plan: CuttingPlan) -> None:
    fixed = tuple(replace(piece, turn=False) for piece in PIECES)
    (found,) = judge_cutting(fixed, plan)
    assert (found.kind, found["turned"]) == (FaultKind.LIES_WRONG, 1)
