"""Pressing against exhaustion: every way of pressing a block, counted."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import product

import pytest

from placement.block import GEESE, Block, block_names, load_block
from placement.checks.fault import FaultKind
from placement.checks.pressing import judge_geese, judge_named, judge_pressing, judge_units
from placement.top.sewing.pressing import Rule, press
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
def test_every_block_can_nest_and_its_claims_hold(name: str) -> None:
    block = load_block(name)
    made = press(block, LIGHT, rule="nested")
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
    made = press(block, LIGHT, rule="nested")
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


@pytest.mark.parametrize("rule", ["taught", "nested"])
@pytest.mark.parametrize("directional", [False, True])
@pytest.mark.parametrize("name", block_names())
def test_the_judge_finds_no_fault(name: str, directional: bool, rule: Rule) -> None:
    made = press(load_block(name), LIGHT, directional=directional, rule=rule)
    assert judge_pressing(made) == ()
    assert judge_named(made) == ()


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
    made = press(block, LIGHT, rule="nested")
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
    made = press(block, LIGHT, alone=alone, rule="nested")
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


STAR = load_block("ohio-star")
PLACES = {"top": (0, 180), "left": (90, 270), "right": (90, 270), "bottom": (0, 180)}
"""Where the star's units lie, and the turns that look right there, as the unit is made."""


def _nine(turned: dict[str, int], toward: int, long: int) -> list[tuple[object, ...]]:
    """Lay four units made alike round a square: each seam as ends and side, in thirds."""
    spots = {"top": (1, 0), "left": (0, 1), "right": (2, 1), "bottom": (1, 2)}
    half = Fraction(1, 2)
    # As it is made: B on top and at the bottom; pairs toward one cloth, the long seam to one side.
    pair = 1 if toward else -1
    side = 1 if long else -1
    made = [
        ((half, -half), (0, 0), (pair, pair)),
        ((-half, half), (0, 0), (-pair, -pair)),
        ((-half, -half), (half, half), (side, -side)),
    ]
    found = []
    for place, degrees in turned.items():
        x, y = spots[place][0] + half, spots[place][1] + half
        for start, end, way in made:
            corners = [start, end, way]
            for _ in range(degrees // 90):
                corners = [(-b, a) for a, b in corners]
            one, other, facing = corners
            found.append(((x + one[0], y + one[1]), (x + other[0], y + other[1]), facing))
    return found


def test_four_of_sixty_four_ways_with_quarter_square_units_made_alike_nest() -> None:
    # By exhaustion, derived: two sides for the pairs, two for the long seam, two turns for each
    # of the star's four units. Where two of them touch, their seams lie in one line.
    sound = []
    for toward, long in product((0, 1), repeat=2):
        for turns in product(*PLACES.values()):
            turned = dict(zip(PLACES, turns, strict=True))
            ends: dict[object, list[object]] = {}
            for start, end, facing in _nine(turned, toward, long):
                for point in (start, end):
                    ends.setdefault(point, []).append(facing)
            corners = [(x, y) for x in (1, 2) for y in (1, 2)]
            if all(len(set(ends[corner])) == len(ends[corner]) == 2 for corner in corners):
                sound.append(turned)
    # Turned 0, 180, 270 and 90, each unit once.
    assert len(sound) == 4
    assert all(sorted(turned.values()) == [0, 90, 180, 270] for turned in sound)


def test_a_star_of_quarter_squares_is_pressed_with_all_units_alike_and_nests_in_line() -> None:
    made = press(STAR, LIGHT)
    assert judge_units(made, STAR) == ()
    assert judge_pressing(made) == ()
    assert len(made.plans) == 1


V_JOINTS = {
    "churn-dash": 8, "dutchmans-puzzle": 4, "ohio-star": 8, "sawtooth-star": 8, "shoo-fly": 8,
    "square-in-a-square": 4,
}  # fmt: skip
"""Joints at which points meet like a V and lie to one side; all else nests."""


@pytest.mark.parametrize("directional", [False, True])
@pytest.mark.parametrize("name", block_names())
def test_every_block_is_pressed_by_rule_with_its_joints_named(name: str, directional: bool) -> None:
    block = load_block(name)
    made = press(block, LIGHT, directional=directional)
    # Units made alike are pressed alike, in blocks of both pressings; geese away from their point.
    assert judge_units(made, block) == ()
    assert judge_geese(made, block) == ()
    for plan in made.plans:
        small = {patch.roles[1] for patch in block.patches if patch.cut in GEESE}
        assert set().union(*_toward(block, plan).values()) <= small
    # What does not nest is named: joints where points meet, never seams in line.
    assert judge_pressing(made) == ()
    assert judge_named(made) == ()
    assert len(made.failing) == V_JOINTS.get(name, 0)
    # Those of the star of geese all round lie inside the block, the others between blocks.
    assert all(bool(place.edge) is (name != "dutchmans-puzzle") for place in made.failing)


WITH_UNITS = [name for name in block_names() if any(p.cut for p in load_block(name).patches)]


@pytest.mark.parametrize("name", WITH_UNITS)
def test_the_judge_finds_a_unit_pressed_otherwise(name: str) -> None:
    block = load_block(name)
    made = press(block, LIGHT)
    several = sum(bool(patch.cut) for patch in block.patches) > 1
    for wrong, seam in enumerate(made.seams):
        plan = tuple(c ^ (number == wrong) for number, c in enumerate(made.plans[0]))
        faults = judge_units(replace(made, plans=(plan,)), block)
        if seam.straight or not several:
            assert faults == ()
        elif name != "ohio-star":
            assert faults, seam
    if name == "ohio-star":
        # A unit that looks the same half round may have its long seam on either side.
        found = [
            bool(judge_units(replace(made, plans=(tuple(
                c ^ (number == wrong) for number, c in enumerate(made.plans[0])),)), block))
            for wrong, seam in enumerate(made.seams) if not seam.straight
        ]  # fmt: skip
        assert found == [True, True, False] * 4


@pytest.mark.parametrize("name", sorted(V_JOINTS))
def test_the_judge_finds_a_joint_that_is_not_named_or_named_for_nothing(name: str) -> None:
    made = press(load_block(name), LIGHT)
    place = replace(made.failing[0], across=Fraction(1, 7), down=Fraction(1, 7), edge="")
    (invented,) = judge_named(replace(made, failing=(*made.failing, place)))
    assert invented.kind is FaultKind.JOINT_NESTS
    # One plan for blocks that do not turn: seams of neighbours lie to one side and none is named.
    upright = replace(made, turn=0, failing=())
    assert any(entry.kind is FaultKind.SEAM_SIDES for entry in judge_named(upright))
