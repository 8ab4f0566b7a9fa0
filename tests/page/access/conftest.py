"""Everything the page can show, one state after the other, and small plans to show it with."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

import pytest
from PIL import Image, ImageDraw

from tests.page.server import STEPS, send

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

CLOTHS = {
    "plum": "#5c284a",
    "moss": "#60703a",
    "straw": "#d6ba6e",
    "brick": "#a44834",
    "slate": "#4a5a6c",
    "rose": "#ce8e92",
}
"""Invented fabrics."""


@pytest.fixture(scope="session")
def begin(address: str) -> Callable[..., str]:
    """Return a way to make a plan; it gives the plan's id."""

    def make(**wish: object) -> str:
        return str(send(address, "POST", "/api/plans", wish)["id"])

    return make


@pytest.fixture(scope="session")
def small(address: str, begin: Callable[..., str]) -> str:
    """Make a finished plan with few things in it, so that each can be looked at; its id."""
    plan = begin(title="Nine patches of evening")
    path = f"/api/plans/{plan}"
    told = [(name, colour, "fabric") for name, colour in CLOTHS.items()]
    told += [("chalk", "#f4f1ea", "background"), ("night", "#1c2230", "background")]
    for name, colour, role in (*told, ("ecru", "#b7a98c", "thread")):
        send(address, "POST", f"{path}/colours", {"colour": colour, "name": name, "role": role})
    setting = {"kind": "straight", "across": 3, "down": 3, "sashing": "1"}
    wish = {"setting": setting, "borders": [{"width": "3", "fabric": ""}], "count": 4}
    send(address, "PATCH", f"{path}/brief", wish)
    send(address, "POST", f"{path}/layout", {})
    return plan


@pytest.fixture(scope="session")
def table() -> dict[str, Any]:
    """Return a photo of six fabrics on a table, as a browser takes a file."""
    photo = Image.new("RGB", (1100, 800), "#6b5a48")
    for number, colour in enumerate(CLOTHS.values()):
        x, y = 120 + number % 3 * 310, 120 + number // 3 * 310
        ImageDraw.Draw(photo).rectangle((x, y, x + 230, y + 230), fill=colour)
    data = io.BytesIO()
    photo.save(data, "JPEG", quality=92)
    return {"name": "table.jpg", "mimeType": "image/jpeg", "buffer": data.getvalue()}


PARTS = (*STEPS, "nothing yet", "other pages")
"""What is walked through."""
BROKEN = {"name": "broken.jpg", "mimeType": "image/jpeg", "buffer": b"this is no photo"}


class Walk:
    """A walk through all states of the page; each is named when it is reached."""

    def __init__(self, guest: Any, plans: dict[str, str], table: dict[str, Any]) -> None:
        self.guest = guest
        self.page = guest.page
        self.plans = plans
        self.table = table

    def states(self, part: str) -> Iterator[str]:
        """Yield the name of each state of a step (or another part) while the page shows it."""
        if part == "nothing yet":
            yield from self._empty()
        elif part == "other pages":
            yield from self._other_pages()
        else:
            self.guest.open(self.plans["sample"])
            self.guest.step(part)
            self.guest.at_rest()
            yield part
            yield from getattr(self, f"_{part}")(self.page.locator(f"{part}-step"))

    def _button(self, name: str, **more: Any) -> Any:
        return self.page.get_by_role("button", name=name, **more)

    def _fabrics(self, step: Any) -> Iterator[str]:
        step.locator(".drop input[multiple]").set_input_files(BROKEN)
        step.locator(".broken li").wait_for()
        yield "a photo that is none"
        self._button("Dismiss").click()
        step.get_by_label("Greys").check()
        step.locator("button.tile").first.click()
        step.locator(".card img").first.wait_for()
        yield "the card of a fabric, in greys"
        step.get_by_label("As they came").check()
        self._button("Take out of the bundle").click()
        self._button("Put it back").wait_for()
        yield "a fabric taken out"
        self._button("Put it back").click()
        self.guest.saved()
        step.locator(".drop input[multiple]").set_input_files(self.table)
        screen = self.page.locator("dialog[open]")
        screen.locator(".piece").nth(5).wait_for(state="attached")
        yield "several fabrics found in a photo"
        screen.locator(".crop").first.click()
        yield "one of them chosen"
        screen.get_by_role("button", name="They lie in another way").click()
        yield "another way to lie"
        screen.get_by_role("button", name="Close").click()
        yield "a photo that waits to be looked at"
        self._button("Dismiss").click()
        step.locator("button.tile").first.click()
        self._button("Put right by hand").click()
        screen.locator(".handle").nth(2).focus()
        self.guest.at_rest()
        yield "a fabric put right by hand"
        screen.get_by_role("button", name="Close").click()

    def _background(self, step: Any) -> Iterator[str]:
        step.get_by_label("Type a colour of your own").fill("plumm")
        step.get_by_label("Type a colour of your own").press("Enter")
        step.locator(".own-colour .errors p").wait_for()
        self.page.select_option("#eyes", "deutan")
        yield "a colour that is none, as deutan eyes see it"
        self.page.select_option("#eyes", "")

    def _picks(self, step: Any) -> Iterator[str]:
        step.locator(".mosaic > .tile").first.click()
        step.locator(".card .swap").first.wait_for()
        yield "what could take a fabric's place"

    def _setting(self, step: Any) -> Iterator[str]:
        step.get_by_label("Finished block").fill("wide")
        step.get_by_label("Finished block").press("Enter")
        step.locator(".errors p").first.wait_for()
        yield "a length that is none"

    def _layout(self, step: Any) -> Iterator[str]:
        step.get_by_label("Mark neighbours that look alike").check()
        step.get_by_text("What was done").click()
        step.locator(".changes li").first.wait_for()
        yield "neighbours marked, and what was done"
        self._button("Keep a copy to compare").click()
        self._button("See them side by side").wait_for()
        yield "a copy kept"
        self.page.locator("[data-cell='3']").click()
        self._button("Put back").wait_for()
        yield "a lifted block"
        self._button("Put back").click()

    def _finish(self, step: Any) -> Iterator[str]:
        step.get_by_role("button", name="Binding").click()
        self._button("More threads").click()
        yield "cloth for the binding, and all threads"

    def _cutting(self, step: Any) -> Iterator[str]:
        step.locator(".cut-groups .tile").first.click()
        drawn = "document.querySelector('cutting-step .card:not([hidden]) img')"
        self.guest.until(f"{drawn}.naturalWidth > 0")
        for fold in step.locator("details > summary").all():
            fold.click()
        self.guest.at_rest()
        yield "a fabric to cut, and every fold open"

    def _variants(self, step: Any) -> Iterator[str]:
        step.get_by_role("button", name="Keep a copy to compare").click()
        step.locator(".variants li").nth(1).wait_for()
        self.guest.at_rest()
        step.get_by_role("button", name="Delete").last.click()
        yield "asked whether to delete a copy"
        step.get_by_role("button", name="Keep", exact=True).click()
        self._button("See them large").click()
        self.page.locator("dialog[open] img").first.wait_for()
        yield "copies large"
        self._button("Close").click()

    def _keep(self, step: Any) -> Iterator[str]:
        step.get_by_text("Your own words in it").click()
        self._button("Make a link").click()
        self._button("Take it back").wait_for()
        step.locator(".plans li").first.wait_for()
        step.get_by_role("button", name="Delete").first.click()
        yield "the designer's words, a link, asked whether to delete a plan"

    def _empty(self) -> Iterator[str]:
        self.guest.open(self.plans["empty"])
        yield "an empty plan"
        for name in STEPS:
            self.guest.step(name)
            self.guest.at_rest()
            yield f"{name} of an empty plan"

    def _other_pages(self) -> Iterator[str]:
        self.page.goto(f"{self.guest.address}/guide.html")
        yield "how to take the photo"
        path = f"/api/plans/{self.plans['sample']}/link"
        link = send(self.guest.address, "POST", path, {})
        self.page.goto(self.guest.address + link["address"])
        yield "the plan as others see it"
        self.page.goto(f"{self.guest.address}/api/plans/{self.plans['sample']}/booklet.html")
        yield "the pattern to read"


@pytest.fixture
def walk(visit: Any, begin: Callable[..., str], table: dict[str, Any]) -> Callable[..., Walk]:
    """Return a way to walk through all states, in a browser as the test wants it."""

    def make(**context: Any) -> Walk:
        guest = visit(bypass_csp=True, **context)
        plans = {"sample": begin(sample=True), "empty": begin(title="Nothing yet")}
        return Walk(guest, plans, table)

    return make
