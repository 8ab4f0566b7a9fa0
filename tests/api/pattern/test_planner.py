"""Brief to plan: what is kept, what is made anew, what is refused."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from api.pattern import planner
from api.pattern.brief import Ban, Band, Brief, Copies, Pin
from api.pattern.stored import from_json, to_json
from api.wording.plan import summary
from placement.inches import Inches
from placement.top.setting.setting import Setting


@pytest.fixture(scope="module")
def plan(brief: Brief) -> planner.Plan:
    return planner.make(brief)


def test_a_brief_becomes_a_whole_plan(plan: planner.Plan) -> None:
    assert plan.background == "linen"
    assert plan.choice is not None
    assert len(plan.choice.kept) == 8
    assert plan.layout is not None
    # On point a x b plus (a-1) x (b-1): 4 x 5 + 3 x 4, derived.
    assert len(plan.layout.fabrics) == 32
    assert plan.layout.counts() == dict.fromkeys(plan.layout.counts(), 4)
    assert plan.problems == ()


def test_twins_and_fabrics_that_sink_are_left_out_with_a_reason(plan: planner.Plan) -> None:
    assert plan.choice is not None
    reasons = {entry.fabric: entry for entry in plan.choice.left_out}
    assert reasons["nearly-linen"].reason == "lost"
    twins = {"solid-0", "twin-of-0"}
    assert not twins <= set(plan.choice.kept)
    assert reasons["nearly-linen"].other == plan.background


def test_a_plan_survives_its_json_form(plan: planner.Plan) -> None:
    text = to_json(plan)
    assert from_json(text) == plan
    assert to_json(from_json(text)) == text
    assert json.loads(text).keys() == {
        *("brief", "choice", "layout", "found", "obstacles", "by_hand", "format")
    }


def test_the_same_brief_gives_the_same_bytes_and_another_seed_another_layout(
    brief: Brief, plan: planner.Plan
) -> None:
    assert to_json(planner.make(brief)) == to_json(plan)
    other = planner.make(replace(brief, seed=2))
    assert other.layout is not None
    assert plan.layout is not None
    assert other.layout.fabrics != plan.layout.fabrics


@pytest.mark.parametrize(
    ("text", "word"), [("", "not a Spreadwell plan"), ('{"brief": 3}', "brief")]
)
def test_a_text_that_is_no_plan_is_refused_with_the_field(text: str, word: str) -> None:
    with pytest.raises(ValueError, match=word):
        from_json(text)


def test_without_a_named_background_the_one_with_most_clear_fabrics_is_taken(brief: Brief) -> None:
    plan = planner.look(replace(brief, background=""))
    clear = {
        ground: sum(c.verdict == "clear" for c in plan.contrasts if c.background == ground)
        for ground in ("linen", "ink")
    }
    assert clear[plan.background] == max(clear.values())


def test_no_fabrics_is_a_plan_with_a_problem() -> None:
    plan = planner.make(Brief())
    assert plan.layout is None
    assert plan.choice is None


def test_a_setting_with_fewer_cells_than_fabrics_says_so(brief: Brief) -> None:
    tiny = replace(brief, setting=Setting("straight", 2, 2, Inches.parse(8)))
    plan = planner.make(tiny)
    if plan.layout is None:
        assert plan.problems
    else:
        assert len(plan.layout.counts()) <= 4


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"background": "velvet"}, "velvet"),
        ({"borders": (Band(Inches.parse(2), "velvet"),)}, "velvet"),
        ({"block": "velvet"}, "velvet"),
        ({"copies": (Copies("velvet", 3),)}, "velvet"),
        ({"pins": (Pin(0, "velvet"),)}, "velvet"),
        ({"bans": (Ban(0, ("velvet",)),)}, "velvet"),
    ],
)
def test_names_that_lead_nowhere_are_refused_by_name(
    brief: Brief, change: dict[str, object], word: str
) -> None:
    with pytest.raises(ValueError, match=word):
        planner.make(replace(brief, **change))  # type: ignore[arg-type]


def test_a_change_that_does_not_touch_the_layout_keeps_it(brief: Brief, plan: planner.Plan) -> None:
    larger = replace(brief.setting, block_size=Inches.parse(12))
    revised = planner.revise(plan, replace(brief, title="New", setting=larger, block="nine-patch"))
    assert revised.layout is not None
    assert plan.layout is not None
    assert revised.layout.fabrics == plan.layout.fabrics
    assert revised.layout.setting.block_size == Inches.parse(12)


def test_a_swap_by_hand_survives_a_change_of_title(plan: planner.Plan) -> None:
    swapped = planner.swap(plan, 0, 9)
    revised = planner.revise(swapped, replace(swapped.brief, title="Renamed"))
    assert revised.layout == swapped.layout
    assert revised.by_hand


def test_leaving_one_fabric_out_keeps_most_of_the_layout(plan: planner.Plan) -> None:
    assert plan.layout is not None
    gone = plan.layout.fabrics[0]
    swatches = tuple(
        replace(s, leave_out=True) if s.fabric.id == gone else s for s in plan.brief.swatches
    )
    revised = planner.revise(plan, replace(plan.brief, swatches=swatches))
    assert revised.layout is not None
    assert gone not in revised.layout.fabrics
    same = sum(a == b for a, b in zip(plan.layout.fabrics, revised.layout.fabrics, strict=True))
    assert same >= len(plan.layout.fabrics) / 2


def test_locked_cells_stay_when_arranged_anew(plan: planner.Plan) -> None:
    assert plan.layout is not None
    held = planner.pin(planner.pin(plan, 3, True), 17, True)
    again = planner.make(replace(held.brief, seed=9))
    assert again.layout is not None
    assert again.layout.pinned == (3, 17)
    for cell in (3, 17):
        assert again.layout.fabrics[cell] == plan.layout.fabrics[cell]
    assert planner.pin(held, 3, False).layout.pinned == (17,)  # type: ignore[union-attr]


def test_a_cell_left_plain_stays_plain(brief: Brief) -> None:
    plan = planner.make(replace(brief, pins=(Pin(5, ""),)))
    assert plan.layout is not None
    assert plan.layout.fabrics[5] == ""
    assert sum(plan.layout.counts().values()) == 31


def test_no_block_is_turned_where_a_print_has_an_up_and_a_down(plan: planner.Plan) -> None:
    assert plan.layout is not None
    assert plan.layout.turned
    first = plan.layout.fabrics[0]
    swatches = tuple(replace(s, directional=s.fabric.id == first) for s in plan.brief.swatches)
    revised = planner.revise(plan, replace(plan.brief, swatches=swatches))
    assert revised.layout is not None
    assert revised.layout.fabrics == plan.layout.fabrics
    assert revised.layout.turned == ()
    assert any("up and a down" in line for line in summary(revised))


def test_a_swap_exchanges_two_fabrics_and_is_measured(plan: planner.Plan) -> None:
    assert plan.layout is not None
    swapped = planner.swap(plan, 1, 12)
    assert swapped.layout is not None
    assert swapped.layout.fabrics[1] == plan.layout.fabrics[12]
    assert swapped.layout.fabrics[12] == plan.layout.fabrics[1]
    assert swapped.by_hand
    assert swapped.quality is not None
    assert swapped.quality.closest <= swapped.quality.bound + 1e-9


@pytest.mark.parametrize("cell", [-1, 32])
def test_a_swap_with_a_cell_that_is_not_there_is_refused(plan: planner.Plan, cell: int) -> None:
    with pytest.raises(ValueError, match=str(cell)):
        planner.swap(plan, 0, cell)


def test_a_locked_cell_is_not_swapped(plan: planner.Plan) -> None:
    with pytest.raises(ValueError, match="locked"):
        planner.swap(planner.pin(plan, 0, True), 0, 1)


def test_the_best_swaps_come_best_first(plan: planner.Plan) -> None:
    spoilt = planner.swap(planner.swap(plan, 0, 9), 3, 20)
    swaps = planner.best_swaps(spoilt, 5)
    assert [s.gain for s in swaps] == sorted((s.gain for s in swaps), reverse=True)


def test_progress_is_told_and_may_stop_the_work(brief: Brief) -> None:
    class StopError(Exception):
        pass

    def stop(share: float, words: str) -> None:
        assert 0 <= share <= 1
        assert words
        raise StopError

    with pytest.raises(StopError):
        planner.make(replace(brief, setting=Setting("on point", 12, 14, Inches.parse(6))), stop)


def test_no_fabric_sinks_into_a_background_that_the_quilt_does_not_show(brief: Brief) -> None:
    straight = Setting("straight", 4, 4, Inches.parse(8))
    bare = replace(brief, block="plain-square", setting=straight, borders=())
    assert not bare.shows_background
    plan = planner.look(bare)
    assert plan.contrasts == ()
    assert plan.choice is not None
    assert "lost" not in {entry.reason for entry in plan.choice.left_out}
    assert "shows no background" in summary(plan)[0]
    # A border, sashing, setting triangles or a cell left plain bring the background in.
    for change in (
        {"borders": (Band(Inches.parse(2)),)},
        {"setting": replace(straight, sashing=Inches.parse(1))},
        {"setting": replace(straight, kind="on point")},
        {"setting": replace(straight, alternate=True)},
        {"pins": (Pin(0, ""),)},
        {"block": "nine-patch"},
    ):
        assert replace(bare, **change).shows_background  # type: ignore[arg-type]
        looked = planner.look(replace(bare, **change))  # type: ignore[arg-type]
        assert looked.choice is not None
        assert "lost" in {entry.reason for entry in looked.choice.left_out}
    ink = replace(bare, borders=(Band(Inches.parse(2), "solid-0"),))
    assert not ink.shows_background


def test_another_arrangement_is_told_the_same_reach(plan: planner.Plan) -> None:
    assert plan.quality is not None
    known = replace(plan, quality=replace(plan.quality, bound=plan.quality.bound + 7, proved=False))
    other = planner.again(known, 3)
    assert other.quality is not None
    assert (other.quality.bound, other.brief.seed) == (plan.quality.bound + 7, 3)
    assert other.quality.reach == max(plan.quality.reach, other.quality.closest)


@pytest.mark.slow
def test_a_further_look_never_knows_less_and_finds_the_same_whatever_the_seed(
    plan: planner.Plan,
) -> None:
    told = set()
    for seed in (plan.brief.seed, 3):
        before = planner.again(plan, seed)
        after = planner.further(before)
        assert before.quality is not None
        assert after.quality is not None
        assert before.quality.reach <= after.quality.reach <= after.quality.bound
        assert after.quality.bound <= before.quality.bound
        assert len(after.quality.broken) <= len(before.quality.broken) + 1
        assert after.quality.closest >= min(before.quality.closest, before.quality.wanted) - 1e-9
        told.add((after.quality.reach, after.quality.bound))
    assert len(told) == 1


@pytest.mark.slow
def test_a_further_look_leaves_what_was_laid_by_hand(plan: planner.Plan) -> None:
    mine = planner.swap(plan, 0, 1)
    after = planner.further(mine)
    assert after.layout == mine.layout
    assert after.by_hand
