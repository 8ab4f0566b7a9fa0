"""The keyboard: every control is reached, the one in focus is in view and plain to see."""

from __future__ import annotations

import base64
import io
from typing import Any

import numpy as np
import pytest
from PIL import Image

READY = {"cutting": ".amounts div", "variants": ".variants li", "keep": ".plans li"}
"""What has come when a step has all its controls."""

AROUND = 8
"""Pixels around a control that may show that it is in focus."""

MARK = """(scope) => {
  for (const e of document.querySelectorAll('[data-stop]')) delete e.dataset.stop;
  const stops = [...document.querySelector(scope).querySelectorAll(
    'a[href], button, input, select, textarea, summary, [tabindex="0"]')]
    .filter((e) => !e.disabled && e.checkVisibility({ visibilityProperty: true }))
    .filter((e) => {
      if (e.type !== 'radio') return true;
      const group = [...document.getElementsByName(e.name)];
      return e === (group.find((radio) => radio.checked) ?? group[0]);
    });
  stops.forEach((e, index) => { e.dataset.stop = index; });
  document.body.tabIndex = -1;
  (scope === 'body' ? document.body : stops[0]).focus();
  document.body.removeAttribute('tabindex');
  return stops.map((e) => e.outerHTML.slice(0, 150));
}"""
"""Number what Tab must lead to (of radios of one name the chosen one), and go to the start."""

HERE = """() => {
  const e = document.activeElement;
  const shown = e.closest('label') ?? e;
  const box = e.closest('[data-cell]')
    ? document.querySelector('.ring.focus').getBoundingClientRect() : shown.getBoundingClientRect();
  const at = [[0.5, 0.5], [0.1, 0.5], [0.9, 0.5], [0.5, 0.1], [0.5, 0.9]].map(([x, y]) =>
    document.elementFromPoint(box.x + x * box.width, box.y + y * box.height));
  return {
    stop: e.dataset.stop ?? '', html: e.outerHTML.slice(0, 150),
    box: [box.x, box.y, box.width, box.height],
    seen: at.some((top) => top && (shown.contains(top) || top.contains(shown))),
  };
}"""


HEADING = """(heading) => {
  const { top, bottom } = document.querySelector(heading).getBoundingClientRect();
  return top >= 0 && bottom <= innerHeight;
}"""


def _shot(session: Any, page: Any, box: list[float]) -> Any:
    """Return the linear light of what is seen in and around a box, one value a pixel."""
    x, y, width, height = box
    top = page.evaluate("scrollY")
    size = page.viewport_size
    left, upper = max(0, int(x) - AROUND), max(0, int(y) - AROUND)
    clip = {
        "x": left,
        "y": upper + top,
        "width": min(size["width"], int(x + width) + AROUND) - left,
        "height": min(size["height"], int(y + height) + AROUND) - upper,
        "scale": 1,
    }
    if clip["height"] <= 0 or clip["width"] <= 0:
        return np.zeros(1)  # out of view: nothing of it can be seen to change
    shot = session.send("Page.captureScreenshot", {"clip": clip, "optimizeForSpeed": True})
    pixels = np.asarray(Image.open(io.BytesIO(base64.b64decode(shot["data"]))).convert("RGB"))
    # WCAG 2.2: relative luminance.
    parts = pixels / 255
    light = np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)
    return light @ (0.2126, 0.7152, 0.0722)


def _changed(with_focus: Any, without: Any) -> int:
    """Count pixels whose contrast between the two states is at least 3 to 1 (WCAG 2.4.13)."""
    lighter, darker = np.maximum(with_focus, without), np.minimum(with_focus, without)
    return int(((lighter + 0.05) / (darker + 0.05) >= 3).sum())


def _look(guest: Any, session: Any) -> tuple[str, str]:
    """Return which control is in focus, and what is wrong with how that shows, if anything."""
    page = guest.page
    here = page.evaluate(HERE)
    on = _shot(session, page, here["box"])
    page.evaluate("document.activeElement.blur()")
    page.evaluate("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
    changed = _changed(on, _shot(session, page, here["box"]))
    # WCAG 2.4.13: as much as a line of 2 px around the control.
    enough = 4 * sum(here["box"][2:])
    wrong = "" if here["seen"] else "hidden; "
    if changed < enough:
        wrong += f"{changed} of {enough:.0f} pixels change"
    return here["stop"], f"{wrong}: {here['html']}" if wrong else ""


def _forward(guest: Any, scope: str) -> list[str]:
    """Press Tab through a part of the page; return what is not reached, not seen, not marked."""
    page = guest.page
    session = guest.context.new_cdp_session(page)
    expected = page.evaluate(MARK, scope)
    reached: dict[str, str] = {}
    # By key, so that the browser shows the focus.
    page.keyboard.press("Tab")
    if scope != "body":
        page.keyboard.press("Shift+Tab")
    while len(reached) < len(expected):
        stop, fault = _look(guest, session)
        if stop in reached:
            break
        if fault and stop:
            # Something may have come in and moved the page meanwhile: once more, at rest.
            guest.at_rest()
            page.focus(f"[data-stop='{stop}']")
            fault = _look(guest, session)[1]
        if stop != "":  # a browser also leads to what scrolls, which is no control
            reached[stop] = fault
        page.keyboard.press("Tab")
    session.detach()
    missed = [html for stop, html in enumerate(expected) if str(stop) not in reached]
    return [fault for fault in reached.values() if fault] + [f"missed: {html}" for html in missed]


def _back(guest: Any) -> list[str]:
    """Press Shift and Tab from the end of that part to its start; return what is covered."""
    page = guest.page
    faults = []
    for _ in range(200):
        page.keyboard.press("Shift+Tab")
        here = page.evaluate(HERE)
        faults += [] if here["seen"] else [f"hidden on the way back: {here['html']}"]
        if here["stop"] == "0":
            return faults
    return ["no way back"]


@pytest.mark.parametrize(
    ("width", "height", "scheme", "fonts"),
    [(1440, 900, "light", "dejavu"), (360, 740, "dark", "noto")],
)
def test_each_control_is_reached_by_tab_and_shows_that_it_is_in_focus(
    visit: Any, small: str, width: int, height: int, scheme: str, fonts: str
) -> None:
    size = {"width": width, "height": height}
    guest = visit(fonts=fonts, viewport=size, color_scheme=scheme, reduced_motion="reduce")
    page = guest.open(small)
    steps = page.eval_on_selector_all(".steps > details", "all => all.map((d) => d.id.slice(5))")
    assert len(steps) == 9
    faults = [f"nothing open: {fault}" for fault in _forward(guest, "body")]
    for step in steps:
        guest.step(step)
        if step in READY:
            page.locator(f"{step}-step {READY[step]}").first.wait_for()
        guest.at_rest()
        if not page.evaluate(HEADING, f"#step-{step} > summary"):
            faults.append(f"{step}: opens with its heading out of view")
        faults += [f"{step}: {fault}" for fault in _forward(guest, f"#step-{step}") + _back(guest)]
    assert faults == [], "\n".join(faults)
