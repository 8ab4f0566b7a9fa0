"""Likeness from across the room and close up."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog
from scipy.stats import wasserstein_distance
from skimage.color import deltaE_ciede2000, rgb2lab

from palette.colour import Lab
from palette.fabric import DISTANCES, Fabric, Print, PrintKind, Share
from palette.picking.choice import Limits
from palette.picking.similarity import (
    afars,
    closeness,
    closenesses,
    differences,
    pair_closeness,
    print_differences,
)

NAVY, CREAM = (0x1F, 0x2A, 0x4D), (0xF3, 0xEA, 0xD2)


def mixed(name, *parts):
    """Make a fabric of sRGB colours with shares; it reads as their mean in linear light."""
    light = np.array([np.array(rgb) / 255 for rgb, _ in parts])
    light = np.where(light <= 0.04045, light / 12.92, ((light + 0.055) / 1.055) ** 2.4)
    mean = np.array([share for _, share in parts]) @ light
    coded = np.where(mean <= 0.0031308, mean * 12.92, 1.055 * mean ** (1 / 2.4) - 0.055)
    colours = tuple(Share(lab(np.array(rgb) / 255), share) for rgb, share in parts)
    return Fabric(name, name.title(), lab(coded), colours)


def lab(rgb):
    return Lab(*(float(part) for part in rgb2lab(rgb)))


def prints(seed, count):
    random = np.random.default_rng(seed)
    fabrics = []
    for at in range(count):
        many = int(random.integers(1, 6))
        shares = random.dirichlet(np.ones(many) * 2)
        rgbs = random.integers(0, 256, (many, 3))
        fabrics.append(
            mixed(f"print-{at}", *zip(map(tuple, rgbs), map(float, shares), strict=True))
        )
    return fabrics


def greys(lightnesses, shares):
    colours = tuple(
        Share(Lab(lightness, 0, 0), share)
        for lightness, share in zip(lightnesses, shares, strict=True)
    )
    mean = float(np.dot(lightnesses, shares))
    return Fabric("grey", "Grey", Lab(mean, 0, 0), colours)


def test_from_afar_they_differ_by_ciede2000_of_the_reads_as_colours():
    """Reference: skimage.color.deltaE_ciede2000, one pair at a time."""
    fabrics = prints(1, 7)
    matrix = afars(fabrics)
    for i, a in enumerate(fabrics):
        for j, b in enumerate(fabrics):
            expected = deltaE_ciede2000(a.reads_as.array(), b.reads_as.array())
            assert matrix[i, j] == pytest.approx(float(expected), abs=1e-9)


def test_two_solids_differ_by_exactly_their_ciede2000():
    """Reference: skimage.color.deltaE_ciede2000."""
    red, blue = mixed("red", ((180, 40, 50), 1.0)), mixed("blue", ((40, 60, 150), 1.0))
    expected = deltaE_ciede2000(red.reads_as.array(), blue.reads_as.array())
    assert differences([red, blue])[0, 1] == pytest.approx(float(expected), abs=1e-5)


def printed(name, kind, change, *parts):
    return replace(mixed(name, *parts), print=Print(kind, tuple(map(tuple, change))))


def test_the_same_colours_in_another_print_are_no_twins():
    """A stripe one way changes by geometry (d / w up to the width w) across it and not along it."""
    parts = (NAVY, 0.5), (CREAM, 0.5)
    whole = 50.0
    across = [min(1.0, distance * 8) * whole for distance in DISTANCES]
    stripe = printed(
        "stripe", PrintKind.STRIPE, [(x, 0.7 * x, 0.0, 0.7 * x) for x in across], *parts
    )
    turned = printed(
        "turned", PrintKind.STRIPE, [(0.0, 0.7 * x, x, 0.7 * x) for x in across], *parts
    )
    fine = printed("fine", PrintKind.ALL_OVER, [(25.0,) * 4] * 5, *parts)
    assert print_differences([stripe, turned])[0, 1] == 0
    assert differences([stripe, turned])[0, 1] == 0
    expected = np.sqrt(np.mean([(np.array((x, 0.7 * x, 0, 0.7 * x)) - 25) ** 2 for x in across]))
    assert print_differences([stripe, fine])[0, 1] == pytest.approx(expected, abs=1e-9)
    assert differences([stripe, fine])[0, 1] > Limits().twin


def test_of_many_main_colours_the_smallest_count_as_their_nearest():
    """Reference: the earth mover's distance over all of them by HiGHS in scipy."""
    near = greys([20, 40, 60, 80, 81, 82, 83], [0.2, 0.2, 0.2, 0.2, 0.1, 0.06, 0.04])
    joined = greys([20, 40, 60, 80, 81.7], [0.2, 0.2, 0.2, 0.2, 0.2])
    assert closeness(near, joined) < 0.2


def test_navy_on_cream_is_unlike_cream_on_navy_and_more_so_close_up():
    """Common sense, and figures measured before on such prints: about 31 and 47."""
    navy_on_cream = mixed("navy-on-cream", (NAVY, 0.19), (CREAM, 0.81))
    cream_on_navy = mixed("cream-on-navy", (NAVY, 0.81), (CREAM, 0.19))
    assert afars([navy_on_cream, cream_on_navy])[0, 1] == pytest.approx(31, abs=1)
    assert closeness(navy_on_cream, cream_on_navy) == pytest.approx(47, abs=1)


def test_a_black_and_white_check_is_like_its_grey_from_afar_only():
    """Half black, half white mixes to sRGB 188 in linear light (IEC 61966-2-1)."""
    check = mixed("check", ((0, 0, 0), 0.5), ((255, 255, 255), 0.5))
    grey = mixed("grey", ((188, 188, 188), 1.0))
    assert afars([check, grey])[0, 1] < 0.5
    assert closeness(check, grey) > 40


def test_a_solid_and_its_tone_on_tone_are_twins_from_afar_and_close_kin_close_up():
    solid = mixed("solid", ((150, 60, 70), 1.0))
    tone = mixed("tone", ((165, 70, 80), 0.5), ((133, 48, 58), 0.5))
    assert afars([solid, tone])[0, 1] < 2
    assert 3 < closeness(solid, tone) < 9


@given(
    st.lists(st.tuples(st.floats(0, 100), st.floats(0.05, 1)), min_size=1, max_size=5),
    st.lists(st.tuples(st.floats(0, 100), st.floats(0.05, 1)), min_size=1, max_size=5),
)
def test_greys_close_up_equal_a_linear_program_over_their_differences(first, second):
    """Reference: the transportation problem solved by HiGHS in scipy."""
    (here, much), (there, many) = (np.array(side).T for side in (first, second))
    much, many = much / much.sum(), many / many.sum()
    ground = deltaE_ciede2000(*(np.stack([x, x * 0, x * 0], -1) for x in np.meshgrid(there, here)))
    out = np.kron(np.eye(len(here)), np.ones(len(there)))
    into = np.kron(np.ones(len(here)), np.eye(len(there)))
    expected = linprog(ground.ravel(), A_eq=np.vstack([out, into]), b_eq=[*much, *many]).fun
    assert closeness(greys(here, much), greys(there, many)) == pytest.approx(expected, abs=1e-5)


def test_near_mid_grey_closeness_is_the_wasserstein_distance_of_the_lightnesses():
    """Around L* 50 the weight S_L of CIEDE2000 is 1, so differences of greys are those in L*.

    Reference: scipy.stats.wasserstein_distance; S_L stays below 1.004 from 49 to 51.
    """
    here, there = [49.0, 49.6, 50.9], [49.2, 50.5]
    much, many = [0.2, 0.5, 0.3], [0.6, 0.4]
    expected = wasserstein_distance(here, there, much, many)
    assert closeness(greys(here, much), greys(there, many)) == pytest.approx(expected, rel=0.004)


@given(st.integers(0, 1000))
def test_closeness_is_zero_for_itself_the_same_both_ways_and_never_negative(seed):
    a, b = prints(seed, 2)
    assert closeness(a, a) == 0
    assert closeness(a, b) == pytest.approx(closeness(b, a), abs=1e-6)
    assert closeness(a, b) > 0


def test_order_and_splitting_of_colours_do_not_matter():
    red, blue, white = (200, 30, 40), (30, 60, 160), (250, 250, 250)
    plain = mixed("plain", (red, 0.5), (blue, 0.5))
    split = mixed("split", (blue, 0.25), (red, 0.5), (blue, 0.25))
    other = mixed("other", (white, 0.7), (red, 0.3))
    assert closeness(plain, split) == pytest.approx(0, abs=1e-6)
    assert closeness(plain, other) == pytest.approx(closeness(split, other), abs=1e-6)


def test_shares_that_miss_1_by_rounding_are_made_whole():
    whole = greys([20.0, 80.0], [0.5, 0.5])
    rounded = greys([20.0, 80.0], [0.497, 0.497])
    assert closeness(whole, rounded) == pytest.approx(0, abs=1e-6)


def test_the_matrices_are_symmetric_and_agree_with_single_pairs():
    fabrics = prints(9, 6)
    close = closenesses(fabrics)
    for matrix in (differences(fabrics), close):
        assert (matrix == matrix.T).all()
        assert (matrix.diagonal() == 0).all()
    assert close[1, 4] == pytest.approx(closeness(fabrics[1], fabrics[4]), abs=1e-9)
    pairs = np.array([[4, 1], [0, 2]])
    assert pair_closeness(fabrics, pairs) == pytest.approx([close[1, 4], close[0, 2]], abs=1e-6)


def test_no_fabrics_and_no_pairs_give_empty_answers():
    assert differences([]).shape == (0, 0)
    assert closenesses(prints(1, 1)).tolist() == [[0.0]]
    assert pair_closeness(prints(1, 3), np.zeros((0, 2), dtype=int)).shape == (0,)
