"""Steps are opened one after another: the heading of the open one is where the eye looks for it."""

from __future__ import annotations

from typing import Any

import pytest

OPENED = """(step) => new Promise((done) => {
  const details = document.getElementById(`step-${step}`);
  const heading = details.querySelector('summary');
  const look = () => done(heading.getBoundingClientRect().top);
  // What watches for the same sign comes first; its work is done within the frame after.
  details.addEventListener(
    'toggle', () => requestAnimationFrame(() => requestAnimationFrame(look)), { once: true });
  heading.click();
})"""
"""Open a step; answer where its heading stands in the second frame from then."""


@pytest.mark.parametrize(("width", "height"), [(1440, 900), (360, 740)])
def test_a_step_opened_while_a_long_one_above_closes_shows_its_heading_at_once(
    visit: Any, width: int, height: int
) -> None:
    guest = visit(viewport={"width": width, "height": height}, reduced_motion="no-preference")
    page = guest.open()
    guest.step("picks")
    guest.at_rest()
    assert page.evaluate("document.querySelector('#step-picks').offsetHeight") > height
    page.locator("#step-keep > summary").scroll_into_view_if_needed()
    guest.at_rest()
    top = page.evaluate(OPENED, "keep")
    assert 0 <= top < height - 48
