"""Each state of the page: judged by axe, named, large enough, within the screen."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from tests.page.access.conftest import PARTS

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

DESK: dict[str, Any] = {"viewport": {"width": 1440, "height": 900}, "has_touch": True}
SIZES = [{"width": 768, "height": 1024}, {"width": 360, "height": 740}]
LOOKS: list[tuple[dict[str, int], str]] = [
    ({"width": 1440, "height": 900}, "light"),
    ({"width": 360, "height": 740}, "dark"),
]
"""Screen and colour scheme: colours are those of the scheme on every screen."""
ROLES = {
    "button",
    "checkbox",
    "combobox",
    "link",
    "listbox",
    "menuitem",
    "option",
    "progressbar",
    "radio",
    "searchbox",
    "slider",
    "spinbutton",
    "switch",
    "textbox",
    "dialog",
    "image",
    "radiogroup",
    "ColorWell",
    "DisclosureTriangle",
}
"""Roles whose elements need a name (WAI-ARIA 1.2; WCAG 2.2, 4.1.2)."""

AXE = """async () => {
  const found = await axe.run(document, { resultTypes: ['violations'] });
  return found.violations.map(({ id, nodes }) =>
    `${id}: ${nodes.slice(0, 3).map(({ html }) => html.slice(0, 150)).join(' | ')}`);
}"""

SMALL = """() => {
  const visible = (e) => e.checkVisibility({ visibilityProperty: true }) && !e.disabled;
  const boxes = new Map();
  for (const e of document.querySelectorAll(
    'a[href], button, input, select, textarea, summary, label, [role=button], [tabindex="0"]')) {
    const shown = e.closest('label') ?? e;
    if (!visible(shown) || e.matches('.skip')) continue;
    if (document.querySelector('dialog[open]') && !e.closest('dialog[open]')) continue;
    const box = shown.getBoundingClientRect();
    const shape = e.closest('[data-cell]')?.lastElementChild?.ownerSVGElement;
    boxes.set(shown, box);
  }
  const middle = ({ x, y, width, height }) => [x + width / 2, y + height / 2];
  const small = ({ width, height }) => width < 23.99 || height < 23.99;
  const away = ([x, y], box) => Math.hypot(
    Math.max(box.left - x, 0, x - box.right), Math.max(box.top - y, 0, y - box.bottom));
  const faults = [];
  for (const [element, box] of boxes) {
    if (!small(box)) continue;
    const here = middle(box);
    for (const [other, there] of boxes) {
      if (other === element || element.contains(other) || other.contains(element)) continue;
      const [x, y] = middle(there);
      if (away(here, there) >= 12 && !(small(there) && Math.hypot(here[0] - x, here[1] - y) < 24))
        continue;
      faults.push(`${Math.round(box.width)} x ${Math.round(box.height)}: ${
        element.outerHTML.slice(0, 120)} beside ${other.outerHTML.slice(0, 60)}`);
      break;
    }
  }
  return faults;
}"""
"""Targets under 24 px whose circle of 24 px meets another target (WCAG 2.2, 2.5.8)."""

BLOCKS = """() => [...document.querySelectorAll('quilt-wall .quilt [data-cell]')].map((cell) => {
  const { a, b } = cell.getScreenCTM();
  return Math.hypot(a, b) * cell.getBBox().width;
})"""
"""Sides of the blocks on the wall, px: a square on its point needs 24, as circles are spaced."""

WIDE = """() => document.documentElement.scrollWidth - innerWidth"""


def _unnamed(guest: Any) -> list[str]:
    """Return what the accessibility tree holds without a name."""
    session = guest.context.new_cdp_session(guest.page)
    nodes = session.send("Accessibility.getFullAXTree")["nodes"]
    session.detach()
    bare = [
        node
        for node in nodes
        if not node["ignored"]
        and node["role"]["value"] in ROLES
        and not node.get("name", {}).get("value", "").strip()
    ]
    return [f"{node['role']['value']} without a name, {node.get('properties')}" for node in bare]


def _faults(guest: Any) -> list[str]:
    """Return what keeps anyone out of the page as it is now."""
    found = [f"axe: {fault}" for fault in guest.page.evaluate(AXE)]
    return found + _unnamed(guest) + _misfits(guest)


def _misfits(guest: Any) -> list[str]:
    """Return what is too small to hit or does not fit on the screen."""
    page = guest.page
    found: list[str] = list(page.evaluate(SMALL))
    if (over := page.evaluate(WIDE)) > 0:
        found.append(f"{over} px wider than the screen")
    if any(side < 24 for side in page.evaluate(BLOCKS)):
        found.append("blocks too small to hit")
    return found


@pytest.mark.parametrize("part", PARTS)
def test_no_state_keeps_anyone_out(part: str, walk: Callable[..., Any], axe: Path) -> None:
    way = walk(**DESK, fonts="noto")
    page = way.page
    faults: list[str] = []
    for state in way.states(part):
        if not page.evaluate("'axe' in window"):
            page.add_script_tag(path=str(axe))
        for size, scheme in LOOKS:
            page.set_viewport_size(size)
            page.emulate_media(color_scheme=scheme)
            where = f"{state}, {size['width']} px, {scheme}"
            faults += [f"{where}: {fault}" for fault in _faults(way.guest)]
        page.set_viewport_size(DESK["viewport"])
    way.guest.said.clear()  # the browser notes the server's refusals
    assert faults == [], "\n".join(faults)


def test_every_state_fits_on_every_screen_in_another_font(walk: Callable[..., Any]) -> None:
    way = walk(**DESK, fonts="dejavu")
    faults: list[str] = []
    for part in PARTS:
        for state in way.states(part):
            for size in SIZES:
                way.page.set_viewport_size(size)
                where = f"{state}, {size['width']} px"
                faults += [f"{where}: {fault}" for fault in _misfits(way.guest)]
            way.page.set_viewport_size(DESK["viewport"])
    way.guest.said.clear()  # the browser notes the server's refusals
    assert faults == [], "\n".join(faults)
