"""The fabrics nearest to a mood, against all sets there are."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from skimage.color import deltaE_ciede2000

from palette.colour import Lab
from palette.fabric import Fabric, Share
from palette.picking.mood import from_mood, nearest_set


@pytest.mark.parametrize("seed", range(12))
def test_the_sum_is_the_least_of_all_sets_without_near_twins(seed: int) -> None:
    random = np.random.default_rng(seed)
    spots = random.uniform(0, 20, (12, 2))
    apart = np.linalg.norm(spots[:, None] - spots[None], axis=-1)
    off = np.linalg.norm(spots - 10, axis=-1).round(6)
    pins = [int(random.integers(12))] if seed % 2 else []
    count, least = 5, 4.0

    def fits(places: tuple[int, ...]) -> bool:
        near = all(apart[pair] >= least for pair in combinations(places, 2))
        return near and set(pins) <= set(places)

    sums = [off[list(s)].sum() for s in combinations(range(12), count) if fits(s)]
    found = nearest_set(off, apart, count, least, pins)
    if not sums:
        assert found is None
        return
    assert found is not None
    assert found.proved
    assert found.off == pytest.approx(min(sums))
    assert found.bound == pytest.approx(found.off)
    assert fits(found.chosen)


def test_a_search_cut_short_claims_nothing_and_tells_what_none_falls_short_of() -> None:
    random = np.random.default_rng(3)
    spots = random.uniform(0, 20, (60, 2))
    apart = np.linalg.norm(spots[:, None] - spots[None], axis=-1)
    off = np.linalg.norm(spots - 10, axis=-1)
    short = nearest_set(off, apart, 14, 3.5, steps=60)
    full = nearest_set(off, apart, 14, 3.5)
    assert short is not None
    assert full is not None
    assert not short.proved
    assert short.bound <= full.off + 1e-9 <= short.off + 2e-9


def test_a_fabric_is_as_far_from_a_mood_as_from_the_nearest_of_its_colours() -> None:
    """As quilters pull fabrics from a focus print; the reference is scikit-image's CIEDE2000."""
    navy, rust, cream = Lab(25, 2, -25), Lab(48, 38, 40), Lab(92, 0, 10)
    parts = (Share(navy, 0.5), Share(rust, 0.47), Share(cream, 0.03))
    focus = Fabric("focus", "Focus", Lab(40, 18, 8), parts)
    bundle = [Fabric(str(at), str(at), lab, (Share(lab, 1.0),)) for at, lab in
              enumerate((navy, rust, cream, Lab(27, 0, -20)))]  # fmt: skip
    expected = [
        min(
            float(deltaE_ciede2000(f.reads_as.array(), c.array()))
            for c in (focus.reads_as, navy, rust)
        )
        for f in bundle
    ]
    assert from_mood(bundle, focus) == pytest.approx(expected, abs=1e-6)
    assert expected[0] == expected[1] == 0
