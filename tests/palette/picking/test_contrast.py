"""Verdicts against backgrounds: each limit, the sentences, and Munsell's value steps."""

import warnings
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from skimage.color import deltaE_ciede2000

from palette.colour import Lab, difference
from palette.fabric import Fabric, Share
from palette.picking.choice import Contrast, Limits
from palette.picking.contrast import best_background, judge, rejudge, verdict

CREAM = Lab(90, 1, 10)
LIMITS = Limits()


def cloth(name, reads_as, *colours):
    parts = tuple(Share(colour, share) for colour, share in colours) or (Share(reads_as, 1.0),)
    return Fabric(name.lower().replace(" ", "-"), name, reads_as, parts)


def one(fabric, background, limits=LIMITS):
    (contrast,) = judge([fabric], [background], limits)
    return contrast


@pytest.mark.parametrize(
    ("measures", "expected"),
    [
        ((9.999, 60, 0.25), "lost"),
        ((9.999, 60, 0.249), "soft"),  # a print whose own area is not near
        ((10.0, 60, 0.0), "clear"),  # lightness alone suffices
        ((10.0, 12, 0.0), "soft"),
        ((19.999, 19.999, 0.0), "soft"),
        ((20.0, 10.0, 0.0), "clear"),
        ((20.0, -10.0, 0.0), "clear"),
        ((20.0, 9.999, 0.0), "soft"),
        ((60.0, 0.0, 0.0), "soft"),
        ((15.0, 20.0, 0.0), "clear"),
        ((15.0, -20.0, 0.0), "clear"),
        ((40.0, 40.0, 0.249), "clear"),
        ((40.0, 40.0, 0.25), "soft"),
        ((40.0, 40.0, 0.499), "soft"),
        ((40.0, 40.0, 0.5), "camouflage"),
        ((9.999, 0.0, 1.0), "lost"),
    ],
)
def test_each_limit_divides_exactly_where_it_says(measures, expected):
    assert verdict(*measures, LIMITS) == expected


@given(st.floats(0, 100), st.floats(-100, 100), st.floats(0, 1), st.floats(0, 100))
def test_a_verdict_never_worsens_when_the_difference_grows(far, lightness, share, more):
    order = ["lost", "camouflage", "soft", "clear"]
    before = order.index(verdict(far, lightness, share, LIMITS))
    assert order.index(verdict(far + more, lightness, share, LIMITS)) >= before


@pytest.fixture(scope="module")
def munsell_steps():
    """Pairs of real Munsell colours of one hue and chroma, one value step apart, as Lab.

    Source: the renotation data (Newhall, Nickerson, Judd 1943) in colour-science,
    under illuminant C; from value 2 up.
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it warns of plots it cannot draw
        import colour

        white = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["C"]
        table = {name: np.array(xyy) for name, xyy in colour.MUNSELL_COLOURS["real"]}

        def lab(name):
            x, y, percent = table[name]
            return colour.XYZ_to_Lab(colour.xyY_to_XYZ([x, y, percent / 100]), white)

        return [
            np.array([lab((h, v, c)) for v in (value, value + 1, value + 2)])
            for h, value, c in table
            if value >= 2 and (h, value + 1, c) in table and (h, value + 2, c) in table
            for v in [value]
        ]


def test_the_lightness_limits_are_one_and_two_munsell_value_steps(munsell_steps):
    ladder = np.array(munsell_steps)
    assert len(ladder) > 1000
    single, double = ladder[:, 1, 0] - ladder[:, 0, 0], ladder[:, 2, 0] - ladder[:, 0, 0]
    assert np.median(single) == pytest.approx(LIMITS.lightness, rel=0.03)
    assert np.median(double) == pytest.approx(LIMITS.lightness_alone, rel=0.03)


def test_one_munsell_value_step_is_lost_or_soft_and_never_clear(munsell_steps):
    ladder = np.array(munsell_steps)
    far = difference(ladder[:, 0], ladder[:, 1])
    assert np.median(far) == pytest.approx(8.6, abs=0.3)
    step = ladder[:, 1, 0] - ladder[:, 0, 0]
    # All of a solid is near, or nothing of it.
    verdicts = {
        verdict(float(f), float(s), float(f < LIMITS.near), LIMITS)
        for f, s in zip(far, step, strict=True)
    }
    assert verdicts == {"lost", "soft"}


def test_pale_cloth_sinks_into_cream():
    contrast = one(cloth("Pale oat", Lab(86, 2, 14)), cloth("Cream linen", CREAM))
    far = float(deltaE_ciede2000(np.array([86, 2, 14]), CREAM.array()))
    assert contrast.verdict == "lost"
    assert contrast.difference == pytest.approx(far, abs=1e-9)


def test_dark_cloth_is_clear_on_cream():
    contrast = one(cloth("Navy", Lab(20, 2, -22)), cloth("Cream linen", CREAM))
    assert contrast.verdict == "clear"
    assert contrast.lightness == -70


def test_a_strong_colour_as_light_as_the_background_is_soft():
    contrast = one(cloth("Rose", Lab(62, 45, 5)), cloth("Sage", Lab(64, -15, 15)))
    assert contrast.verdict == "soft"
    assert contrast.lightness == pytest.approx(-2)
    assert contrast.difference > LIMITS.clear


def test_a_print_half_made_of_the_background_is_camouflaged():
    daisies = cloth("Daisies", Lab(62, 1, 0), (CREAM, 0.6), (Lab(20, 2, -22), 0.4))
    contrast = one(daisies, cloth("Cream linen", CREAM))
    assert contrast.verdict == "camouflage"
    assert contrast.near_share == 0.6


def test_a_print_a_third_made_of_the_background_is_a_warning():
    sprigs = cloth("Sprigs", Lab(50, 1, -9), (Lab(20, 2, -22), 0.7), (CREAM, 0.3))
    contrast = one(sprigs, cloth("Cream linen", CREAM))
    assert contrast.verdict == "soft"
    assert contrast.near_share == pytest.approx(0.3)


def test_a_speck_of_navy_in_the_background_does_not_swallow_a_navy_fabric():
    navy = Lab(20, 2, -22)
    specked = cloth("Specked", Lab(86, 1, 7), (CREAM, 0.95), (navy, 0.05))
    contrast = one(cloth("Navy", navy), specked)
    assert contrast.verdict == "clear"
    assert contrast.near_share == pytest.approx(0.05)


def test_what_a_fine_check_reads_as_counts_as_background_too():
    check = cloth("Check", Lab(76, 0, 0), (Lab(5, 0, 0), 0.5), (Lab(100, 0, 0), 0.5))
    half_grey = cloth("Half grey", Lab(60, 30, 30), (Lab(76, 0, 0), 0.55), (Lab(45, 60, 50), 0.45))
    assert one(half_grey, check).verdict == "camouflage"


def test_a_fabric_is_lost_in_itself():
    contrast = one(cloth("Cream", CREAM), cloth("Cream", CREAM))
    assert contrast.verdict == "lost"
    assert rejudge(contrast, Limits(lost=0)) == "lost"


def test_every_fabric_meets_every_background_in_order():
    fabrics = [cloth(name, Lab(40, a, 0)) for name, a in (("A", -20), ("B", 0), ("C", 20))]
    grounds = [cloth("Cream", CREAM), cloth("Ink", Lab(10, 0, -5))]
    pairs = [(contrast.background, contrast.fabric) for contrast in judge(fabrics, grounds)]
    assert pairs == [(b, f) for b in ("cream", "ink") for f in "abc"]


def test_nothing_to_judge_gives_no_verdicts():
    assert judge([], [cloth("Cream", CREAM)]) == ()
    assert judge([cloth("Cream", CREAM)], []) == ()


def test_judging_again_under_the_same_limits_gives_the_same_verdicts():
    random = np.random.default_rng(2)
    fabrics = [
        cloth(f"F{at}", Lab(*random.uniform([15, -30, -30], [95, 30, 30])), *_two(random))
        for at in range(30)
    ]
    for limits in (LIMITS, Limits(lost=5, clear=15, near=8, camouflage=0.8)):
        fresh = judge(fabrics, [cloth("Cream", CREAM)], limits)
        again = [rejudge(contrast, limits) for contrast in judge(fabrics, [cloth("Cream", CREAM)])]
        assert [contrast.verdict for contrast in fresh] == again


def _two(random):
    share = float(random.uniform(0.1, 0.9))
    first, second = (Lab(*random.uniform([15, -30, -30], [95, 30, 30])) for _ in range(2))
    return (first, share), (second, 1 - share)


def test_a_smaller_least_difference_holds_for_parts_of_a_print_too():
    """A solid that passes as a whole is not caught as camouflage instead."""
    oat = one(cloth("Oat", Lab(82, 2, 14)), cloth("Cream linen", CREAM))
    assert 5 < oat.difference < 10
    assert rejudge(oat, Limits(lost=5)) == "soft"


def contrast_of(background, verdict, difference=30.0):
    return Contrast("f", background, verdict, difference, 30.0, 0.0)


@pytest.mark.parametrize(
    ("first", "second", "best"),
    [
        (["clear", "soft", "soft"], ["clear", "clear", "lost"], "b"),
        (["clear", "soft", "lost"], ["clear", "soft", "soft"], "b"),
        (["clear", "camouflage"], ["clear", "soft"], "b"),
        (["clear", "soft"], ["clear", "soft"], "a"),
    ],
)
def test_the_best_background_has_most_clear_then_fewest_failing(first, second, best):
    contrasts = [contrast_of("a", verdict) for verdict in first]
    contrasts += [contrast_of("b", verdict) for verdict in second]
    assert best_background(contrasts) == best


def test_equal_backgrounds_are_told_apart_by_their_median_difference():
    near = [contrast_of("a", "clear", far) for far in (21, 22, 90)]
    far = [contrast_of("b", "clear", far) for far in (21, 40, 41)]
    assert best_background(near + far) == "b"


def test_no_contrasts_have_no_best_background():
    with pytest.raises(ValueError, match="no background to choose"):
        best_background([])


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"lost": -1.0}, "lost must be 0 or more, not -1"),
        ({"near": float("nan")}, "near must be 0 or more, not nan"),
        ({"lost": 25.0}, "lost .25. must not lie above clear .20."),
        ({"camouflage_warn": 0.6}, "camouflage_warn .0.6. must not lie above camouflage .0.5."),
    ],
)
def test_limits_that_contradict_themselves_are_refused(change, message):
    with pytest.raises(ValueError, match=message):
        replace(LIMITS, **change)


def test_a_bold_stripe_that_merely_reads_as_the_background_does_not_sink():
    """Quilters judge value first: navy and white read grey across the room and show close up."""
    navy, white = Lab(20, 5, -25), Lab(96, 0, 0)
    stripe = Fabric("s", "S", Lab(72, 0, -4), (Share(white, 0.5), Share(navy, 0.5)))
    contrast = one(stripe, cloth("Grey", Lab(72, 0, 0)))
    assert contrast.difference < LIMITS.lost
    assert contrast.near_share == 0
    assert contrast.verdict == "soft"


def test_a_print_sinks_where_a_quarter_of_its_area_is_near_and_it_reads_as_the_background():
    ground = cloth("Grey", Lab(72, 0, 0))
    parts = (Share(Lab(73, 0, 0), 0.3), Share(Lab(94, 0, 0), 0.35), Share(Lab(48, 0, 0), 0.35))
    assert one(Fabric("s", "S", Lab(74, 0, 0), parts), ground).verdict == "lost"
