"""Every reason of a pick in words: the numbers are those that skimage gives."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest
from skimage.color import deltaE_ciede2000

from api.pattern.exchange import tries
from api.pattern.plan import Plan
from api.wording.apart import BORDERS, WORDS, apart, how_far
from api.wording.contrasts import stands
from api.wording.picks import (
    doubtful,
    left_out,
    most_alike,
    obstacle,
    picked,
    relaxation,
    substitute,
)
from palette.colour import Lab
from palette.picking.choice import Limits, PickBy
from placement.top.arrange.quality import FAR_ENOUGH
from tests.api.wording.conftest import solid

if TYPE_CHECKING:
    from palette.fabric import Fabric

Looked = Callable[..., Plan]
MOSS, FERN = solid("Moss", 45, -15, 25), solid("Fern", 46, -15, 25)
RUST, NAVY = solid("Rust", 45, 35, 40), solid("Navy", 20, 0, -20)


def far(a: Fabric, b: Fabric) -> float:
    return float(deltaE_ciede2000(a.reads_as.array(), b.reads_as.array()))


def why(plan: Plan, fabric: str) -> str:
    assert plan.choice is not None
    return next(left_out(plan, e) for e in plan.choice.left_out if e.fabric == fabric)


def problems(plan: Plan) -> list[str]:
    assert plan.choice is not None
    return [obstacle(plan, entry) for entry in plan.choice.problems]


def poor_bundle() -> list[Fabric]:
    """Two good fabrics, two near-twins of one, one sinking a little, one print half hidden."""
    sprigs = solid("Sprigs", 65, 0, 0, parts=((Lab(91, 0, 9), 0.55), (Lab(20, 0, -20), 0.45)))
    return [RUST, MOSS, FERN, solid("Oat", 83, 2, 12), solid("Pale", 90, 1, 8), sprigs]


def test_the_words_for_a_difference_agree_with_the_limits_they_are_said_beside() -> None:
    assert BORDERS[1:] == (Limits().clear, FAR_ENOUGH)
    assert [how_far(border) for border in BORDERS] == [*WORDS[1:]]
    assert how_far(0) == WORDS[0]
    # 4.96 is told as 4.9, for it lies under the border.
    assert apart(4.96) == "4.9 (hard to tell)"


def test_one_that_is_not_needed_is_told_with_the_nearest_and_both_numbers(
    looked: Looked,
) -> None:
    greys = [solid(f"Grey {at}", at, 0, 0) for at in (20, 50, 57, 80)]
    plan = looked(greys, 3, bare=True)
    assert plan.choice is not None
    (gone,) = plan.choice.left_out
    mine, other = (1, 2) if gone.fabric == "grey-50" else (2, 1)
    apart = min(far(greys[0], greys[other]), far(greys[other], greys[3]))
    away = far(greys[1], greys[2])
    assert why(plan, gone.fabric) == (
        f"'{greys[mine].name}' is left out: 3 are enough and '{greys[other].name}' is only "
        f"{away:.1f} away ({how_far(away)}); the chosen ones are at least {apart:.1f} apart."
    )


def test_one_is_enough(looked: Looked) -> None:
    plan = looked([solid("Sand", 70, 5, 20), NAVY, RUST], 1)
    assert "1 is enough, though nothing else speaks against it" in why(plan, "sand")


def test_a_near_twin_is_told_with_the_one_that_is_used_and_why(looked: Looked) -> None:
    away = far(MOSS, FERN)
    assert why(looked([FERN, MOSS, RUST]), "moss") == (
        f"'Moss' is nearly the same as 'Fern' ({away:.1f} apart: {away:.1f} from across the room, "
        f"{away:.1f} close up); 'Fern' is used because the closest two would be nearer with the "
        "other."
    )
    assert "'Moss' is used because it stands out more" in why(looked([FERN, MOSS]), "fern")
    assert "'Fern' is used, and either would do" in why(looked([FERN, MOSS], bare=True), "moss")
    assert "used because it must be" in why(looked([FERN, MOSS], must=["fern"]), "moss")


def test_no_near_twin_is_named_that_is_not_used_itself(looked: Looked) -> None:
    plan = looked([FERN, MOSS, RUST, NAVY], 2)
    assert plan.choice is not None
    assert set(plan.choice.kept) == {"rust", "navy"}
    assert "'Moss'" not in why(plan, "fern")


def test_a_balance_is_told_with_its_numbers_and_with_what_it_costs(looked: Looked) -> None:
    greys = [solid(f"G{at}", at, 0, 0) for at in range(12, 88, 6)]
    plan = looked(greys, 6, bare=True, pick_by=PickBy.VALUES)
    assert plan.choice is not None
    text = most_alike(plan)
    assert "so that light, medium and dark are nearly alike in number" in text
    assert f"more than {plan.choice.bound:.1f} apart" in text
    lights = [float(name[1:]) for name in plan.choice.kept]
    dark, light = sum(value < 40 for value in lights), sum(value >= 70 for value in lights)
    assert f"{dark} dark" in text
    assert f"{light} light" in text


def test_a_mood_is_told_with_its_distance_and_what_lies_farther(looked: Looked) -> None:
    plan = looked(
        [RUST, solid("Clay", 55, 28, 30), NAVY, MOSS], 2, pick_by=PickBy.MOOD, mood="rust"
    )
    assert plan.choice is not None
    assert plan.choice.kept == ("rust", "clay")
    mean = far(RUST, solid("Clay", 55, 28, 30)) / 2
    assert f"in the mood of 'Rust', {mean:.1f} away on average; no other" in most_alike(plan)
    away = far(RUST, NAVY)
    assert f"2 are enough and it is {away:.1f} away from 'Rust'" in why(plan, "navy")
    colour = looked([RUST, NAVY, MOSS], 1, pick_by=PickBy.MOOD, mood_colour="#1c2340")
    assert colour.choice is not None
    assert colour.choice.kept == ("navy",)
    assert "away from #1c2340" in why(colour, "rust")


def test_one_fabric_is_used(looked: Looked) -> None:
    assert picked(looked([NAVY]))[0].startswith("1 of 1 fabric is used")


def test_what_sinks_is_left_out_with_the_words_of_its_contrast(looked: Looked) -> None:
    plan = looked([solid("Pale", 89, 1, 10), NAVY])
    assert why(plan, "pale") == stands(plan, plan.contrasts[0])
    assert "left out by hand" in why(looked([MOSS, NAVY], leave=["moss"]), "moss")


def test_what_must_be_used_stays_and_what_speaks_against_it_is_told(looked: Looked) -> None:
    (sinks,) = problems(looked([solid("Pale", 89, 1, 10), NAVY], 2, must=["pale"]))
    assert sinks.startswith("'Pale' sinks into 'Cream linen'")
    assert sinks.endswith("It stays because it must be used.")
    (twins,) = problems(looked([FERN, MOSS], bare=True, must=["fern", "moss"]))
    assert twins.startswith("'Fern' and 'Moss' are nearly the same (")
    assert twins.endswith("both stay because they must be used.")


def test_close_pins_do_not_speak_for_the_others(looked: Looked) -> None:
    spots = np.random.default_rng(7).uniform([15, -40, -40], [80, 40, 40], (20, 3)).round(2)
    fabrics = [solid(f"F{number}", *spot) for number, spot in enumerate(spots.tolist())]
    pins = [solid("Pin one", 50, 0, 0), solid("Pin two", 54, 0, 0)]
    plan = looked([*fabrics, *pins], 6, bare=True, must=["pin-one", "pin-two"])
    assert plan.choice is not None
    told = [why(plan, e.fabric) for e in plan.choice.left_out if e.reason == "not needed"]
    assert any("the others chosen are at least" in text for text in told)


@pytest.mark.parametrize(
    ("count", "must", "leave", "told"),
    [
        (
            4,
            (),
            ["rust"],
            [("You want 4, but only 1 is left: 2 sink into the background, 1 blends into it in "
             "good part, 1 is nearly the same as another and 1 is left out by hand.")],
        ),
        (
            9,
            (),
            (),
            ["You want 9 fabrics, but the bundle has only 6.",
             ("Of the bundle only 2 are left: 2 sink into the background, 1 blends into it in "
             "good part and 1 is nearly the same as another.")],
        ),
        (
            1,
            ["rust", "moss"],
            (),
            ["2 fabrics must be used, but you want only 1; they are all kept."],
        ),
    ],
)  # fmt: skip
def test_wishes_for_a_number_that_cannot_be_met_are_told(
    looked: Looked, count: int, must: list[str], leave: list[str], told: list[str]
) -> None:
    assert problems(looked(poor_bundle(), count, must=must, leave=leave)) == told


def test_a_bundle_that_sinks_altogether_says_so(looked: Looked) -> None:
    plan = looked([solid("Pale", 89, 1, 10), solid("Milk", 95, 0, 3)])
    assert problems(plan) == ["Of the bundle none is left: 2 sink into the background."]


def test_what_to_relax_is_told_with_what_comes_back(looked: Looked) -> None:
    plan = looked(poor_bundle(), 3)
    assert plan.choice is not None
    for way in plan.choice.relax:
        text = relaxation(plan, way)
        assert text.endswith("can be used as well, which is enough.")
        assert all(f"'{name.title()}'" in text for name in way.brings_back)
    plan = looked(poor_bundle(), 6)
    assert plan.choice is not None
    (half,) = (way for way in plan.choice.relax if way.limit == "camouflage")
    assert relaxation(plan, half) == (
        "Let prints pass of which up to 55 % looks like the background (now less than 50 %): "
        "'Sprigs' can be used as well, still 3 short of the 6 you want."
    )


def test_a_pick_is_summed_up_with_its_closest_pair(looked: Looked) -> None:
    plan = looked([FERN, MOSS, RUST, NAVY])
    assert plan.choice is not None
    close = apart(plan.choice.closest or 0)
    best = "No other 3 of those that can be used are further apart."
    assert picked(plan) == [
        f"3 of 4 fabrics are used; the two most alike differ by {close}.",
        best,
        "Left out: 1 is too like another.",
    ]
    assert most_alike(plan) == f"The two most alike differ by {close}. {best}"
    must = looked([FERN, MOSS, RUST, NAVY], must=["moss"])
    assert "No other 3 of those that can be used, with those that must be," in most_alike(must)


def test_chosen_ones_that_may_be_twins_are_told(looked: Looked) -> None:
    seen = {"light": "window", "corrected": "white"}
    first = replace(solid("First", 50, 20, 10), photo="p1", **seen)  # type: ignore[arg-type]
    second = replace(solid("Second", 58, 20, 10), photo="p2", light="lamp")
    plan = looked([first, second], bare=True)
    assert plan.choice is not None
    (near,) = plan.choice.doubts
    text = doubtful(plan, near)
    assert text.startswith("'First' and 'Second' may be nearly the same (")
    assert text.endswith("Photograph the two together, with white paper, to be surer.")
    assert any("1 pair of the chosen may be nearly the same" in line for line in picked(plan))


def test_what_another_fabric_would_do_is_told(looked: Looked) -> None:
    greys = [solid(name, light, 0, 0) for name, light in zip("ABCD", (10, 30, 50, 70), strict=True)]
    ground = solid("Ground", 96, 0, 0)
    others = [solid("Near b", 26, 0, 0), solid("Pale", 90, 0, 0)]
    plan = looked([*greys, *others], 4, ground=ground)
    near, pale = (substitute(plan, each) for each in tries(plan, "b"))
    assert near.startswith("'Near b' would leave the two most alike ")
    assert "; now " in near
    assert near.endswith("'A' and 'Near b'.")
    assert "sinks into 'Ground'" in pale
    twin = looked([*greys, solid("C2", 51, 0, 0)], ground=ground)
    (text,) = (substitute(twin, each) for each in tries(twin, "a"))
    assert text == "'C2' is nearly the same as 'C', which would then be left out."
    (only,) = (substitute(plan, e) for plan in [looked(greys[:2], 1)] for e in tries(plan, "a"))
    assert "would be the only one" in only
