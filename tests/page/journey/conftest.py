"""Three ways to work the page: a mouse, the keyboard alone, a finger on a phone."""

from __future__ import annotations

from abc import ABC, abstractmethod
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

import pytest

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

WITNESS = """for (const kind of ['pointerdown', 'keydown']) {
  addEventListener(kind, (event) => {
    const seen = new Set((sessionStorage.getItem('seen') ?? '').split(' ').filter(Boolean));
    seen.add(event.pointerType ?? 'key');
    sessionStorage.setItem('seen', [...seen].sort().join(' '));
  }, true);
}"""
"""Notes by which means the page was worked, over reloads."""

WAY = """(to) => {
  const at = document.activeElement;
  if (at === to) return 'there';
  const group = to.type === 'radio' ? [...document.getElementsByName(to.name)] : [];
  if (group.includes(at)) return 'group';
  const aim = group.find((radio) => radio.checked) ?? to;
  const back = at.compareDocumentPosition(aim) & Node.DOCUMENT_POSITION_PRECEDING;
  return back ? 'Shift+Tab' : 'Tab';
}"""


class Hand(ABC):
    """What a visitor does with controls, by whatever means."""

    context: ClassVar[dict[str, Any]] = {}
    """How the browser is opened."""
    means: ClassVar[frozenset[str]] = frozenset()
    """The events it may cause."""

    def __init__(self, guest: Any) -> None:
        self.guest = guest
        self.page = guest.page

    @abstractmethod
    def press(self, target: Any) -> None:
        """Press a button, a link, a summary, or a box to tick."""

    def choose(self, radio: Any) -> None:
        """Choose one of several."""
        self.press(radio)

    @abstractmethod
    def slide(self, slider: Any, value: int) -> None:
        """Bring a slider to a whole value."""

    def write(self, field: Any, text: str) -> None:
        """Write into a field in place of what it holds, and leave it."""
        self.press(field)
        self.page.keyboard.press("Control+a")
        self.page.keyboard.type(text)
        self.page.keyboard.press("Tab")

    def give(self, chooser: Any, files: Sequence[Path]) -> None:
        """Choose files."""
        with self.page.expect_file_chooser() as opened:
            self.press(chooser)
        opened.value.set_files(files)

    def take(self, link: Any) -> Path:
        """Take a file away."""
        with self.page.expect_download() as download:
            self.press(link)
        return Path(download.value.path())

    def cell(self, index: int) -> Any:
        """Return a block on the wall."""
        return self.page.locator(f"quilt-wall .quilt [data-cell='{index}']")

    def swap(self, first: int, second: int) -> None:
        """Lift a block and place it where another lies."""
        self.press(self.cell(first))
        self.press(self.cell(second))

    def lock(self, cell: int) -> None:
        """Lock a block."""
        self.press(self.cell(cell))
        self.press(self.page.get_by_role("button", name="Lock", exact=True))


def _visible(target: Any) -> Any:
    """Return what is seen of a control: its label, if that holds it."""
    label = target.locator("xpath=ancestor::label[1]")
    return label if label.count() else target


class Pointer(Hand):
    """What is done by pointing at a place."""

    def slide(self, slider: Any, value: int) -> None:
        """Bring a slider to a whole value."""
        low, high = (int(slider.get_attribute(end)) for end in ("min", "max"))
        slider.scroll_into_view_if_needed()
        box = slider.bounding_box()
        knob = 16
        x = knob / 2 + (box["width"] - knob) * (value - low) / (high - low)
        self._point(slider, {"x": x, "y": box["height"] / 2})
        assert slider.input_value() == str(value)

    @abstractmethod
    def _point(self, target: Any, position: dict[str, float]) -> None:
        """Point at a place on a control."""


class Mouse(Pointer):
    """A mouse on a desk; the keyboard only to write."""

    means = frozenset({"key", "mouse"})

    def press(self, target: Any) -> None:
        """Click it."""
        _visible(target).click()

    def _point(self, target: Any, position: dict[str, float]) -> None:
        target.click(position=position)

    def swap(self, first: int, second: int) -> None:
        """Drag a block."""
        self.cell(first).hover()
        self.page.mouse.down()
        box = self.cell(second).bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        self.page.mouse.move(x, y, steps=5)
        self.page.mouse.up()


class Keys(Hand):
    """The keyboard and nothing else."""

    means = frozenset({"key"})
    MOST = 250

    def press(self, target: Any) -> None:
        """Go there by Tab and press Enter, or Space on what is ticked or chosen."""
        self._reach(target)
        kind = target.evaluate("(e) => e.type")
        self.page.keyboard.press("Space" if kind in {"checkbox", "file", "radio"} else "Enter")

    def choose(self, radio: Any) -> None:
        """Go to the group, then along it."""
        self._reach(radio)
        for _ in range(self.MOST):
            if radio.evaluate("(e) => e === document.activeElement"):
                break
            self.page.keyboard.press("ArrowDown")
        if not radio.is_checked():
            self.page.keyboard.press("Space")
        assert radio.is_checked()

    def slide(self, slider: Any, value: int) -> None:
        """Move the slider by arrow keys."""
        self._reach(slider)
        while (now := int(slider.input_value())) != value:
            self.page.keyboard.press("ArrowLeft" if now > value else "ArrowRight")
            assert int(slider.input_value()) != now, "the slider does not move"

    def write(self, field: Any, text: str) -> None:
        """Go there by Tab and write."""
        self._reach(field)
        self.page.keyboard.press("Control+a")
        self.page.keyboard.type(text)
        self.page.keyboard.press("Tab")

    def swap(self, first: int, second: int) -> None:
        """Lift by Enter, go by arrow keys, place by Enter."""
        self._go(first)
        self.page.keyboard.press("Enter")
        self._go(second)
        self.page.keyboard.press("Enter")

    def lock(self, cell: int) -> None:
        """Go there and press L."""
        self._go(cell)
        self.page.keyboard.press("l")

    def _reach(self, target: Any) -> None:
        """Press Tab until the target has the focus, or another of its group."""
        target.wait_for(state="attached")
        for _ in range(self.MOST):
            way = target.evaluate(WAY)
            if way in {"there", "group"}:
                return
            self.page.keyboard.press(way)
        told = target.evaluate("(e) => e.outerHTML.slice(0, 200)")
        pytest.fail(f"no key leads to {told}")

    def _go(self, cell: int) -> None:
        """Go to a block by arrow keys: down to its row, then along it."""
        self._reach(self.page.locator("quilt-wall .quilt [data-cell][tabindex='0']"))
        where = "(e) => e.getAttribute('aria-label').match(/row (\\d+), place (\\d+)/).slice(1)"
        row, place = (int(part) for part in self.cell(cell).evaluate(where))
        for _ in range(self.MOST):
            at = self.page.locator("[data-cell]:focus").evaluate(where)
            here_row, here_place = (int(part) for part in at)
            if (here_row, here_place) == (row, place):
                return
            if here_row != row:
                key = "ArrowDown" if here_row < row else "ArrowUp"
            else:
                key = "ArrowRight" if here_place < place else "ArrowLeft"
            self.page.keyboard.press(key)
        pytest.fail(f"no arrow key leads to block {cell}")


class Finger(Pointer):
    """A finger on a phone; its keyboard only to write."""

    context: ClassVar[dict[str, Any]] = {
        "viewport": {"width": 360, "height": 740},
        "has_touch": True,
        "is_mobile": True,
    }
    means = frozenset({"key", "touch"})

    def press(self, target: Any) -> None:
        """Tap it."""
        _visible(target).tap()

    def _point(self, target: Any, position: dict[str, float]) -> None:
        target.tap(position=position)


HANDS: dict[str, type[Hand]] = {"mouse": Mouse, "keyboard": Keys, "touch": Finger}


@pytest.fixture
def hand(visit: Any, program: Any) -> Callable[[str], Hand]:
    """Return a way to sit down before the page with one means to work it."""

    def sit(means: str) -> Hand:
        kind = HANDS[means]
        guest = visit(**kind.context, at=program.address)
        guest.context.add_init_script(WITNESS)
        return kind(guest)

    return sit
