"""Pressing against exhaustion: every way of pressing a block, counted."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest

from placement.block import GEESE, Block, block_names, load_block
from placement.checks.fault import FaultKind
from placement.checks.pressing import judge_geese, judge_pressing
from placement.top.sewing.pressing import press
from placement.top.sewing.seams import Junction, between, block_seams

LIGHT = {"F": 40.0, "S": 60.0, "B": 90.0}


def _nests(junctions: tuple[Junction, ...], choices: tuple[int, ...]) -> bool:
    return all((choices[j.first] != choices[j.second]) == j.differ for j in junctions)


@pytest.fixture(scope="module")
def nine() -> Block:
    return load_block("nine-patch")


def test_a_three_by_three_block_has_eight_seams_and_sixteen_pressings_that_nest_inside(
    nine: Block,
) -> None:
    # By exhaustion over 256 pressings, derived.
    seams, inside = block_seams(nine)
    assert len(seams) == 8
    assert sum(_nests(inside, choices) for choices in product((0, 1), repeat=8)) == 16


@pytest.mark.parametrize(("turn", "count"), [(0, 0), (90, 2), (180, 4)])
def test_how_many_pressings_nest_between_blocks(nine: Block, turn: int, count: int) -> None:
    # By exhaustion, derived: none without turning, 2 with a quarter and 4 with a half turn.
    seams, inside = block_seams(nine)
    junctions = (*inside, *between(seams, turn, 0))  # type: ignore[arg-type]
    assert sum(_nests(junctions, choices) for choices in product((0, 1), repeat=8)) == count


def test_two_opposite_plans_nest_without_turning_whatever_the_first_is(nine: Block) -> None:
    # By exhaustion, derived: 16 of 16 inside have an opposite that fits on every edge.
    seams, inside = block_seams(nine)
    meeting = between(seams, 0, len(seams))
    for choices in product((0, 1), repeat=8):
        if _nests(inside, choices):
            opposite = tuple(1 - choice for choice in choices)
            assert _nests(meeting, choices + opposite)


@pytest.mark.parametrize("name", block_names())
def test_every_block_nests_and_its_claims_hold(name: str) -> None:
    block = load_block(name)
    made = press(block, LIGHT)
    seams, inside = block_seams(block)
    shift = len(seams) if len(made.plans) == 2 else 0
    junctions = (*inside, *between(seams, made.turn, shift))
    choices = sum(made.plans, ())
    broken = {j.place for j in junctions if (choices[j.first] != choices[j.second]) != j.differ}
    assert broken == set(made.failing)
    assert not made.failing
    assert made.turn == 0 or made.turn in block.same_when_turned()


@pytest.mark.parametrize("name", ["nine-patch", "shoo-fly", "churn-dash"])
def test_toward_the_dark_is_as_much_as_any_pressing_that_nests_allows(name: str) -> None:
    block = load_block(name)
    made = press(block, LIGHT)
    seams, inside = block_seams(block)
    best = 0.0
    weights = []
    for seam in seams:
        sides = [LIGHT.get(role) for role in seam.roles]
        dark = None if None in sides or sides[0] == sides[1] else int(sides[1] < sides[0])  # type: ignore[operator]
        weights.append((dark, seam.length))
    total = sum(length for dark, length in weights if dark is not None)
    if len(made.plans) == 1:
        junctions = (*inside, *between(seams, made.turn, 0))
        free = [
            choices for choices in product((0, 1), repeat=len(seams)) if _nests(junctions, choices)
        ]
        best = max(
            sum(length for (dark, length), c in zip(weights, choices, strict=True) if dark == c)
            for choices in free
        )
        assert made.toward_dark == pytest.approx(best / total if total else 1.0)


@pytest.mark.parametrize("directional", [False, True])
@pytest.mark.parametrize("name", block_names())
def test_the_judge_finds_no_fault(name: str, directional: bool) -> None:
    assert judge_pressing(press(load_block(name), LIGHT, directional=directional)) == ()


@pytest.mark.parametrize("name", sorted(set(block_names()) - {"plain-square", "rail-fence"}))
def test_the_judge_finds_a_seam_pressed_the_wrong_way(name: str) -> None:
    made = press(load_block(name), LIGHT)
    faults = []
    for wrong in range(len(made.seams)):
        plans = tuple(
            tuple(c ^ (number == wrong) for number, c in enumerate(plan)) for plan in made.plans
        )
        faults.append(judge_pressing(replace(made, plans=plans)))
    # Each seam that meets another in one line is missed when it alone is turned over.
    assert any(faults)
    assert all(f.kind is FaultKind.SEAM_SIDES for found in faults for f in found)


def test_a_directional_print_is_never_turned(nine: Block) -> None:
    made = press(nine, LIGHT, directional=True)
    assert made.turn == 0
    assert len(made.plans) == 2
    assert not made.failing


def _toward(block: Block, plan: tuple[int, ...]) -> dict[object, set[str]]:
    """Return the roles that the seams of each goose are pressed to."""
    seams, _ = block_seams(block)
    geese = [patch for patch in block.patches if patch.cut in GEESE]
    found: dict[object, set[str]] = {}
    for seam, choice in zip(seams, plan, strict=True):
        for goose in geese:
            ends = ((x - goose.left, y - goose.top) for x, y in (seam.start, seam.end))
            inside = all(0 <= x <= goose.width and 0 <= y <= goose.height for x, y in ends)
            if inside and not seam.straight:
                found.setdefault((goose.left, goose.top), set()).add(seam.roles[choice])
    return found


def test_both_seams_of_every_goose_of_a_star_are_pressed_alike() -> None:
    block = load_block("sawtooth-star")
    made = press(block, LIGHT)
    assert (made.turn, made.kindness, made.failing) == (90, 1, ())
    toward = _toward(block, made.plans[0])
    assert len(toward) == 4
    assert all(len(roles) == 1 for roles in toward.values())


def test_geese_of_blocks_apart_are_all_pressed_toward_the_dark() -> None:
    block = load_block("sawtooth-star")
    made = press(block, LIGHT, alone=True)
    assert (made.kindness, made.toward_dark) == (2, 1.0)
    assert set.union(*_toward(block, made.plans[0]).values()) == {"F"}


def test_blocks_that_touch_no_other_are_pressed_alike(nine: Block) -> None:
    made = press(nine, LIGHT, alone=True)
    assert made.turn == 0
    assert len(made.plans) == 1


WITH_GEESE = [
    name for name in block_names() if any(p.cut in GEESE for p in load_block(name).patches)
]


@pytest.mark.parametrize("alone", [False, True])
@pytest.mark.parametrize("name", WITH_GEESE)
def test_the_judge_finds_a_goose_pressed_both_ways(name: str, alone: bool) -> None:
    block = load_block(name)
    made = press(block, LIGHT, alone=alone)
    assert judge_geese(made, block) == ()
    # Of a Dutchman's puzzle no pressing that nests treats both seams of every goose alike;
    # its pressing claims none, and the judge finds it out if it did.
    claimed = replace(made, kindness=2)
    if not made.kindness:
        assert judge_geese(claimed, block)
        return
    for wrong, seam in enumerate(made.seams):
        flipped = tuple(c ^ (number == wrong) for number, c in enumerate(made.plans[0]))
        faults = judge_geese(replace(made, plans=(flipped, *made.plans[1:])), block)
        # Every slanted seam of these blocks is one of a goose's two.
        assert bool(faults) is not seam.straight


def _directions(block: Block, plan: tuple[int, ...]) -> tuple[tuple[int, ...], ...]:
    """Return where the seams of a 3 x 3 block are pressed: each row's two, then the long two.

    1 is right or down, -1 left or up.
    """
    rows: dict[int, list[int]] = {}
    for seam, choice in sorted(
        zip(block_seams(block)[0], plan, strict=True), key=lambda pair: pair[0].start
    ):
        upright = seam.start[0] == seam.end[0]
        row = int(3 * min(seam.start[1], seam.end[1])) if upright else 3
        rows.setdefault(row, []).append(seam.normal[not upright] * (1 if choice else -1))
    return tuple(tuple(rows[row]) for row in sorted(rows))


def test_which_pressings_of_a_nine_patch_nest_and_the_half_turn_rule(nine: Block) -> None:
    # By exhaustion, derived: a quarter turn allows rows out/in/out and the mirror, the long seams
    # apart; a half turn rows all one way by turns, both long seams alike. The half-turn rule:
    # D1(j) = D1(n-j), Dlast(j) = Dlast(n-j), E(i) = E(k-i).
    seams, inside = block_seams(nine)
    sound = [c for c in product((0, 1), repeat=8) if _nests(inside, c)]
    quarter = [_directions(nine, c) for c in sound if _nests(between(seams, 90, 0), c)]
    out, into = (-1, 1), (1, -1)
    assert sorted(quarter) == sorted([(out, into, out, into), (into, out, into, out)])
    for choices in sound:
        first, _, last, long = _directions(nine, choices)
        by_rule = all(one == other for one, other in (first, last, long))
        assert by_rule is _nests(between(seams, 180, 0), choices)


def test_toward_the_dark_with_half_turns_nests_half_of_the_junctions(nine: Block) -> None:
    # By exhaustion, derived: rows out/in/out and both long seams one way nest 4 of 8 only.
    seams, inside = block_seams(nine)
    meeting = between(seams, 180, 0)
    wanted = ((-1, 1), (1, -1), (-1, 1), (1, 1))
    (choices,) = [c for c in product((0, 1), repeat=8) if _nests(inside, c)
                  and _directions(nine, c) == wanted]  # fmt: skip
    assert len(meeting) == 8
    assert sum((choices[j.first] != choices[j.second]) == j.differ for j in meeting) == 4
