"""What a left-out fabric would do in the place of a chosen one, against picks made in full."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from skimage.color import deltaE_ciede2000

from palette.colour import Lab
from palette.fabric import Fabric, Share
from palette.picking.choice import Limits
from palette.picking.contrast import judge
from palette.picking.pick import pick
from palette.picking.substitutes import substitutes


def solid(name: str, lightness: float, a: float = 0, b: float = 0) -> Fabric:
    """Return a fabric of one colour."""
    colour = Lab(lightness, a, b)
    return Fabric(name, name.capitalize(), colour, (Share(colour, 1.0),))


def scatter(count: int, seed: int) -> list[Fabric]:
    """Return fabrics of invented colours."""
    rng = np.random.default_rng(seed)
    spots = rng.uniform([15, -45, -45], [70, 45, 45], (count, 3)).round(2).tolist()
    return [solid(f"f{k}", *spot) for k, spot in enumerate(spots)]


GROUND = solid("ground", 96)
GREYS = [solid(name, light) for name, light in (("a", 10), ("b", 30), ("c", 50), ("d", 70))]


@pytest.mark.parametrize("seed", range(4))
def test_the_closest_pair_is_that_of_the_set_with_the_exchange(seed: int) -> None:
    fabrics = scatter(16, seed)
    contrasts = judge(fabrics, [GROUND])
    choice = pick(fabrics, 6, contrasts)
    lab = {fabric.id: fabric.reads_as.array() for fabric in fabrics}
    out = choice.kept[2]
    for entry in substitutes(fabrics, contrasts, choice, out):
        chosen = [name for name in choice.kept if name != out] + [entry.fabric]
        # scikit-image's CIEDE2000, pair by pair.
        least = min(float(deltaE_ciede2000(lab[a], lab[b])) for a, b in combinations(chosen, 2))
        if not entry.twins:
            assert entry.closest_after == pytest.approx(least, abs=1e-6)


@pytest.mark.parametrize("seed", range(4))
def test_a_pick_with_the_exchange_is_never_worse_than_told(seed: int) -> None:
    fabrics = scatter(16, 10 + seed)
    contrasts = judge(fabrics, [GROUND])
    choice = pick(fabrics, 6, contrasts)
    out = choice.kept[0]
    for entry in substitutes(fabrics, contrasts, choice, out):
        then = pick(fabrics, 6, contrasts, must=[entry.fabric], leave=[out])
        assert then.closest is not None
        assert entry.closest_after is not None
        assert entry.fabric in then.kept
        assert out not in then.kept
        if not entry.twins:
            assert then.closest >= entry.closest_after - 1e-6


def test_the_best_comes_first_and_what_sinks_comes_last() -> None:
    # Munsell value steps are 10 in L*: 'pale' is less than one from the ground.
    fabrics = [*GREYS, solid("near-b", 26), solid("pale", 90), solid("mid", 40)]
    contrasts = judge(fabrics, [GROUND])
    choice = pick(fabrics, 4, contrasts)
    assert choice.kept == ("a", "b", "c", "d")
    found = substitutes(fabrics, contrasts, choice, "b")
    assert [entry.fabric for entry in found] == ["near-b", "mid", "pale"]
    assert found[-1].sinks is not None
    assert (found[-1].sinks.reason, found[-1].sinks.other) == ("lost", "ground")
    assert [entry.sinks for entry in found[:-1]] == [None, None]
    assert found[0].pair == ("a", "near-b")


def test_a_near_twin_of_another_one_says_which_would_go() -> None:
    fabrics = [*GREYS, solid("c2", 51)]
    contrasts = judge(fabrics, [GROUND])
    choice = pick(fabrics, None, contrasts)
    assert [entry.reason for entry in choice.left_out] == ["twin"]
    (found,) = substitutes(fabrics, contrasts, choice, "a")
    assert found.twins == ("c",)
    then = pick(fabrics, None, contrasts, must=["c2"], leave=["a"])
    assert then.kept == ("b", "d", "c2")
    assert then.closest == pytest.approx(found.closest_after)
    (insisted,) = substitutes(fabrics, contrasts, choice, "a", must=["c"])
    assert (insisted.twins, insisted.pair) == ((), ("c", "c2"))


def test_a_single_fabric_has_no_other_to_be_like() -> None:
    fabrics = [GREYS[0], GREYS[2]]
    choice = pick(fabrics, 1)
    (found,) = substitutes(fabrics, (), choice, choice.kept[0], limits=Limits())
    assert found.closest_after is None
    assert found.pair is None


def test_only_a_chosen_one_can_go() -> None:
    choice = pick(GREYS, 2)
    with pytest.raises(ValueError, match="'nowhere' is not among the chosen"):
        substitutes(GREYS, (), choice, "nowhere")
