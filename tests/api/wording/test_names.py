"""A name goes through every sentence unharmed, and harms none of them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from api.pattern.exchange import tries
from api.pattern.lookalikes import near
from api.pattern.planner import make
from api.wording import contact_sheet
from api.wording.contrasts import stands
from api.wording.english import quoted
from api.wording.layout import cause, lookalike, problem
from api.wording.picks import doubtful, left_out, obstacle, relaxation, substitute
from api.wording.plan import neighbours, summary
from api.wording.variants import facts
from placement.top.request import Cause, CauseKind, Problem, ProblemKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.pattern.brief import Brief
    from api.pattern.plan import Plan

HOSTILE = (
    'Moss: dark, no. 2 (and "ink")',
    "Gran's 'best'",
    "{0} and {solid-1}",
    "%s %(name)s",
    "2 squares of 9 in for side triangles",
    "for flying geese",
    "row 1, place 2.",
    "a; b, c and d",
    "one\ntwo\tthree",
    "\u202eright to left",
    "<b>&amp;</b>",
    "  ",
)

NAMES = st.one_of(st.sampled_from(HOSTILE), st.text(min_size=1, max_size=80))


def renamed(plan: Plan, names: list[str]) -> Plan:
    """Return a plan whose fabrics, in order, are called so."""
    given = iter(names)

    def called(swatches):  # type: ignore[no-untyped-def]
        return tuple(replace(s, fabric=replace(s.fabric, name=next(given))) for s in swatches)

    brief = plan.brief
    fields = {name: called(getattr(brief, name)) for name in ("swatches", "backgrounds", "threads")}
    return replace(plan, brief=replace(brief, **fields))


def everything(plan: Plan) -> Iterator[str]:
    """Yield every sentence that is made of a plan."""
    choice, quality = plan.choice, plan.quality
    assert choice is not None
    assert quality is not None
    a, b, *_ = (swatch.fabric.id for swatch in plan.brief.swatches)
    yield from summary(plan)
    yield from neighbours(plan, quality)
    yield from facts(plan, 2)
    yield from (stands(plan, entry) for entry in plan.contrasts)
    yield from (left_out(plan, entry) for entry in choice.left_out)
    yield from (obstacle(plan, entry) for entry in choice.problems)
    yield from (relaxation(plan, way) for way in choice.relax)
    yield from (doubtful(plan, entry) for entry in choice.doubts)
    yield from (substitute(plan, entry) for entry in tries(plan, choice.kept[0]))
    yield from (lookalike(plan, pair) for pair in near(plan, 12))
    yield from contact_sheet.introduction(plan)
    cells = ((0, (a,)), (1, (b,)))
    for kind in CauseKind:
        yield cause(plan, Cause(kind, 9.0, (a, b), 4, 3, 9, (5, 4), cells, ((a, b),)))
    for problematic in ProblemKind:
        yield problem(plan, Problem(problematic, a, 0, 2, 1))


@pytest.fixture(scope="module")
def plan(brief: Brief) -> Plan:
    first, second, *others = brief.swatches
    bundle = (replace(first, must_use=True), replace(second, leave_out=True), *others)
    thread = replace(first, fabric=replace(first.fabric, id="own", name="own"), must_use=False)
    wanted = replace(brief, swatches=bundle, count=14, threads=(thread,), thread="own")
    return make(replace(wanted, second_fabric="twin-of-0"))


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(st.data())
def test_names_stand_whole_in_every_sentence_and_change_nothing_else(
    plan: Plan, data: st.DataObject
) -> None:
    count = len(plan.brief.everything())
    names = data.draw(st.lists(NAMES, min_size=count, max_size=count))
    marks = [f"N{number:02}N" for number in range(count)]
    plain, hostile = renamed(plan, marks), renamed(plan, names)
    for expected, told in zip(everything(plain), everything(hostile), strict=True):
        for mark, name in zip(marks, names, strict=True):
            expected = expected.replace(f"'{mark}'", quoted(name))  # noqa: PLW2901
        assert told == expected
