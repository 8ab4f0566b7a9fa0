"""Why neighbours can't differ more, and what leaves no layout, in words."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from api.pattern.brief import Pin
from api.pattern.lookalikes import near
from api.pattern.planner import make
from api.pattern.suggestions import Gain, Measure
from api.wording.layout import better, cause, lookalike, problem
from api.wording.plan import problems, summary
from placement.top.request import Cause, CauseKind, Problem, ProblemKind

if TYPE_CHECKING:
    from api.pattern.brief import Brief
    from api.pattern.plan import Plan

A, B, C = "solid-0", "solid-1", "solid-2"


@pytest.fixture(scope="module")
def plan(brief: Brief) -> Plan:
    return make(brief)


@pytest.mark.parametrize(
    ("found", "told"),
    [
        (Cause(CauseKind.NOTHING_TOUCHES), "No two blocks touch."),
        (
            Cause(CauseKind.LARGEST, 41.26),
            "No two fabrics differ by more than 41.3 (far apart).",
        ),
        (
            Cause(CauseKind.ALONE, 12, (A,)),
            "'Solid 0' differs from every other fabric by 12.0 (close cousins) at most.",
        ),
        (
            Cause(CauseKind.GROUP, 12, (A, B)),
            (
                "'Solid 0' and 'Solid 1' must meet other fabrics somewhere, and from all of those "
                "they differ by 12.0 (close cousins) at most."
            ),
        ),
        (
            Cause(CauseKind.COPIES, 0, (A,), copies=6, room=5, cells=9),
            "'Solid 0' fills 6 cells; at most 5 of 9 cells can lie apart.",
        ),
        (
            Cause(CauseKind.CROWD, 9, (A, B, C), copies=9, room=8, cells=16),
            (
                "These 3 fabrics, 9 copies, are all within 9.0 of one another: 'Solid 0', "
                "'Solid 1' and 'Solid 2'; at most 8 of 16 cells can lie apart."
            ),
        ),
        (
            Cause(CauseKind.CHECKERBOARD, 3, (A, B), copies=36, cells=72, sides=(42, 30)),
            (
                "To differ by more than 3.0, 'Solid 0' and 'Solid 1' (36 copies) may touch only "
                "the other fabrics (36 copies), in turn like the squares of a checkerboard; but "
                "its squares are 42 and 30."
            ),
        ),
        (
            Cause(CauseKind.CHOOSY, 1, (A, B), accepts=((0, (A,)), (1, (B,)))),
            (
                "The block in row 1, place 1 accepts only 'Solid 0' and the block in row 1, "
                "place 3 accepts only 'Solid 1'; these differ by 1.0 (hard to tell) at most."
            ),
        ),
        (
            Cause(CauseKind.SEARCH, 7.4, (A, B, C), pairs=((A, B), (A, C))),
            (
                "A complete search shows that in every layout some neighbours are no further apart "
                "than 'Solid 0' and 'Solid 1' (7.4) or 'Solid 0' and 'Solid 2' (7.4)."
            ),
        ),
    ],
    ids=lambda value: value.kind if isinstance(value, Cause) else "",
)
def test_every_cause_is_told_with_names_and_numbers(plan: Plan, found: Cause, told: str) -> None:
    assert cause(plan, found) == told


def test_the_cause_of_a_real_layout_is_part_of_the_summary(plan: Plan) -> None:
    assert plan.quality is not None
    assert plan.quality.cause is not None
    assert cause(plan, plan.quality.cause) in summary(plan)


@pytest.mark.parametrize("kind", ProblemKind)
def test_every_problem_is_told_with_what_it_is_about(plan: Plan, kind: ProblemKind) -> None:
    text = problem(plan, Problem(kind, A, 3, wanted=17, there=5))
    assert text.endswith(".")
    assert "Solid 0" in text or "place 7" in text or "17" in text or "5" in text
    assert ";" in text


def test_a_locked_fabric_that_is_not_picked_leaves_no_layout_and_is_named(brief: Brief) -> None:
    (gone, *_) = [s for s in brief.swatches if s.fabric.name == "Nearly linen"]
    plan = make(replace(brief, pins=(Pin(0, gone.fabric.id),)))
    assert [entry.kind for entry in plan.problems] == [ProblemKind.NOT_PICKED]
    assert problems(plan)[-1].startswith("'Nearly linen' is locked in a block but is not among")


def test_two_blocks_that_look_alike_are_told_with_names_places_and_a_word(plan: Plan) -> None:
    pair = near(plan, 1)[0]
    text = lookalike(plan, pair)
    assert "touch along an edge" in text or "touch at a point" in text
    assert "(row " in text
    assert "differ by" in text


def test_what_a_swap_makes_better_is_told_with_both_values() -> None:
    changes = ((Measure.CLOSEST, 12.1, 14.26), (Measure.SPREAD, 1.0, 2.0))
    assert better(Gain(0, 1, 0.2, 14.26, changes)) == (
        "least difference of neighbours 14.3 (close cousins), now 12.1; like colours further apart"
    )
    assert better(Gain(0, 1, 0.2, 14.3, ())) == "a little better all over"
