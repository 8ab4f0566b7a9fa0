"""How fabrics stand on a background, in words: the numbers are those that skimage gives."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from skimage.color import deltaE_ciede2000

from api.pattern.plan import Plan
from api.wording.contrasts import on_background, stands
from palette.colour import Lab
from tests.api.wording.conftest import CREAM, solid

if TYPE_CHECKING:
    from palette.fabric import Fabric

Looked = Callable[..., Plan]
NAVY = Lab(20.0, 2.0, -22.0)


def said(looked: Looked, fabric: Fabric, ground: Fabric | None = None) -> str:
    plan = looked([fabric], ground=ground)
    return stands(plan, plan.contrasts[0])


def test_pale_cloth_sinks_into_cream_with_both_numbers_and_a_word(looked: Looked) -> None:
    far = float(deltaE_ciede2000(np.array([86, 2, 14]), CREAM.array()))
    assert said(looked, solid("Pale oat", 86, 2, 14)) == (
        f"'Pale oat' sinks into 'Cream linen': their colours differ by {far:.1f} "
        "(close cousins) and 10 is the least."
    )


def test_dark_cloth_stands_out(looked: Looked) -> None:
    text = said(looked, solid("Navy", *NAVY.array()))
    assert text.startswith("'Navy' stands out from 'Cream linen': their colours differ by ")
    assert text.endswith("(far apart), their lightness by 72.0.")


def test_a_strong_colour_as_light_as_the_background_is_soft_for_that_reason(
    looked: Looked,
) -> None:
    sage = solid("Sage", 64, -15, 15)
    assert said(looked, solid("Rose", 62, 45, 5), sage) == (
        "'Rose' is soft on 'Sage': their lightness differs by only 2.0 (10 is clear)."
    )


def test_a_print_half_made_of_the_background_blends(looked: Looked) -> None:
    daisies = solid("Daisies", 62, 1, 0, parts=((CREAM, 0.6), (NAVY, 0.4)))
    assert said(looked, daisies) == (
        "'Daisies' blends into 'Cream linen': 60 % of it looks like the background, and 50 % is "
        "too much."
    )
    sprigs = solid("Sprigs", 50, 1, -9, parts=((NAVY, 0.7), (CREAM, 0.3)))
    assert "30 % of it looks like the background" in said(looked, sprigs)


def test_a_number_under_its_limit_is_never_printed_as_the_limit(looked: Looked) -> None:
    base = np.array([50.0, 0.0, 0.0])
    lightness = next(
        50 + step / 1000
        for step in range(9000, 12000)
        if 9.96 < float(deltaE_ciede2000(base, np.array([50 + step / 1000, 0, 0]))) < 9.999
    )
    text = said(looked, solid("Mist", lightness, 0, 0), solid("Fog", *base))
    assert "differ by 9.9 (close cousins) and 10 is the least" in text


def test_a_fabric_is_no_shade_of_itself_but_the_background(looked: Looked) -> None:
    plan = looked([solid("Cream", *CREAM.array())])
    itself = replace(plan.contrasts[0], background="cream")
    assert stands(plan, itself) == "'Cream' is the background itself."


def test_what_photos_leave_open_is_told(looked: Looked) -> None:
    seen = {"photo": "p1", "light": "window", "corrected": "white"}
    grey = replace(solid("Grey", 61, 0, 0), **seen)  # type: ignore[arg-type]
    fog = replace(solid("Fog", 50, 0, 0), **seen)  # type: ignore[arg-type]
    assert "Too close to tell from these photos" in said(looked, grey, fog)
    assert "Too close" not in said(looked, replace(grey, photo=""), fog)


def test_the_bundle_is_counted_on_its_background(looked: Looked) -> None:
    plan = looked([solid("Navy", *NAVY.array()), solid("Pale", 91, 0, 8), solid("Milk", 95, 0, 3)])
    assert on_background(plan) == (
        "On 'Cream linen' 1 of 3 fabrics stands out clearly, 2 sink into it."
    )
    assert "No background" in on_background(looked([solid("Navy", *NAVY.array())], bare=True))
