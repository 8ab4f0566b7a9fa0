"""What a visitor sees first, on every size of screen, by every means of reading it."""

from __future__ import annotations

from typing import Any

import pytest

SIZES = {
    "phone": {"width": 360, "height": 740},
    "desk": {"width": 1440, "height": 900},
}


def test_a_first_visit_shows_a_finished_quilt_and_one_way_to_begin(visit: Any) -> None:
    guest = visit()
    page = guest.open()
    assert page.locator(".quilt [data-cell]").count() == 72  # the sample: 6 x 7 + 5 x 6 blocks
    assert page.locator(".steps button.main:visible").all_inner_texts() == ["Start with my fabrics"]
    page.reload()
    page.wait_for_selector("[data-cell]")
    assert page.evaluate("fetch('/api/plans').then((r) => r.json()).then((p) => p.length)") >= 1
    assert "#plan=" in page.url


def test_a_second_visit_opens_the_same_plan(visit: Any) -> None:
    guest = visit()
    first = guest.open().url
    guest.page.goto("about:blank")
    assert guest.open().url == first


def test_the_way_to_begin_is_in_view_on_a_phone(visit: Any) -> None:
    guest = visit(viewport=SIZES["phone"], has_touch=True)
    page = guest.open()
    box = page.locator("#begin").bounding_box()
    assert box["y"] + box["height"] <= SIZES["phone"]["height"]


def test_the_wall_can_be_any_grey_with_text_that_reads(visit: Any, sample: str) -> None:
    # WCAG 2.2, 1.4.3: contrast of at least 4.5 to 1; relative luminance as defined there.
    guest = visit()
    page = guest.open(sample)
    for light in range(5, 98, 4):
        page.locator("#wall-light").fill(str(light))
        style = "getComputedStyle(document.querySelector('.tools'))"
        lab, ink = page.evaluate(f"[{style}.backgroundColor, {style}.color]")
        assert lab.startswith("lab(")
        assert lab.endswith(" 0 0)"), "the wall must be neutral"
        level = float(lab[4:].split()[0])
        wall = ((level + 16) / 116) ** 3 if level > 8 else level / 903.3
        text = 1.0 if ink == "rgb(255, 255, 255)" else 0.0
        lighter, darker = max(wall, text), min(wall, text)
        assert (lighter + 0.05) / (darker + 0.05) >= 4.5


def test_the_page_around_the_cloth_is_neutral_grey(visit: Any, sample: str) -> None:
    guest = visit()
    page = guest.open(sample)
    colours = page.evaluate(
        """() => [...new Set([...document.querySelectorAll('main *')]
          .filter((e) => !e.closest('svg, .bar, .chip, .laid, [type=range]'))
          .flatMap((e) => { const s = getComputedStyle(e);
            return [s.color, s.backgroundColor, s.borderTopColor]; }))]"""
    )
    for colour in colours:
        if colour.startswith("rgb"):
            red, green, blue = (float(v) for v in colour[4:].strip("(a)").split(",")[:3])
            assert red == green == blue, colour
        else:
            assert colour.endswith(" 0 0)"), colour


SHIFTS = """() => new Promise((done) => {
  const seen = [];
  new PerformanceObserver((list) => seen.push(...list.getEntries()))
    .observe({ type: "layout-shift", buffered: true });
  requestAnimationFrame(() => setTimeout(() =>
    done(seen.reduce((sum, entry) => sum + entry.value, 0))));
})"""


@pytest.mark.parametrize("screen", ["phone", "desk"])
def test_nothing_jumps_while_a_plan_opens(visit: Any, own: str, screen: str) -> None:
    guest = visit(viewport=SIZES[screen])
    page = guest.open(own)
    guest.at_rest()
    # Layout Instability (WICG): what comes without a hand's doing counts.
    assert page.evaluate(SHIFTS) < 0.02
