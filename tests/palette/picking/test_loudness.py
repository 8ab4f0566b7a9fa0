"""Loud prints are told from quiet ones."""

import numpy as np
import pytest

from palette.colour import Lab
from palette.fabric import Fabric, Share
from palette.picking.loudness import contrast_inside, loudness


def cloth(*parts: tuple[tuple[float, float, float], float]) -> Fabric:
    lab = np.array([colour for colour, _ in parts])
    shares = np.array([share for _, share in parts])
    colours = tuple(Share(Lab.rounded(c), float(s)) for c, s in zip(lab, shares, strict=True))
    return Fabric("x", "X", Lab.rounded(shares @ lab), colours)


def test_two_points_of_a_stripe_in_halves_differ_by_half_of_its_two_colours() -> None:
    # Black and white are 100 apart (CIEDE2000's SL is 1 at L* 50), and meet half of the time.
    stripe = cloth(((0, 0, 0), 0.5), ((100, 0, 0), 0.5))
    assert contrast_inside(stripe) == pytest.approx(50, abs=1e-6)


def test_a_solid_is_never_loud() -> None:
    assert loudness(cloth(((50, 70, 50), 1.0))) == 0


def test_prints_stand_from_quiet_to_loud() -> None:
    # Common practice: tone on tone reads as a solid, a vivid print of many colours shouts.
    tone_on_tone = cloth(((60, 10, 10), 0.7), ((66, 10, 10), 0.3))
    grey_stripe = cloth(((30, 0, 0), 0.5), ((80, 0, 0), 0.5))
    vivid = cloth(((45, 65, 40), 0.4), ((80, 5, 75), 0.3), ((35, 20, -60), 0.3))
    values = [loudness(each) for each in (tone_on_tone, grey_stripe, vivid)]
    assert values == sorted(values)
    assert values[0] < 0.1
    assert values[2] > 0.8
