"""Blocks are swapped by tap, by drag and by keyboard; every change is kept and can be undone."""

from __future__ import annotations

from typing import Any


def _cell(page: Any, index: int) -> Any:
    return page.locator(f"[data-cell='{index}']")


def _middle(page: Any, index: int) -> tuple[float, float]:
    box = _cell(page, index).bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def _swapped(fabrics: list[str], first: int, second: int) -> list[str]:
    after = list(fabrics)
    after[first], after[second] = after[second], after[first]
    return after


def _differing(fabrics: list[str], first: int) -> int:
    return next(i for i in range(first + 6, len(fabrics)) if fabrics[i] != fabrics[first])


def test_a_tap_lifts_a_block_and_the_next_places_it(visit: Any, sample: str) -> None:
    guest = visit(viewport={"width": 768, "height": 1024}, has_touch=True)
    page = guest.open(sample)
    before = guest.fabrics()
    other = _differing(before, 0)
    page.touchscreen.tap(*_middle(page, 0))
    assert _cell(page, 0).get_attribute("aria-pressed") == "true"
    page.touchscreen.tap(*_middle(page, other))
    assert guest.fabrics() == _swapped(before, 0, other)
    guest.saved()
    page.reload()
    page.wait_for_selector("[data-cell]")
    assert guest.fabrics() == _swapped(before, 0, other)


def test_a_block_can_be_dragged_with_the_mouse(visit: Any, sample: str) -> None:
    guest = visit()
    page = guest.open(sample)
    before = guest.fabrics()
    other = _differing(before, 8)
    page.mouse.move(*_middle(page, 8))
    page.mouse.down()
    page.mouse.move(*_middle(page, other), steps=6)
    assert page.locator(".ghost").count() == 1
    page.mouse.up()
    assert guest.fabrics() == _swapped(before, 8, other)
    assert page.locator(".ghost").count() == 0
    guest.saved()


def test_a_finger_drags_a_block_it_has_lifted(visit: Any, sample: str) -> None:
    guest = visit(viewport={"width": 768, "height": 1024}, has_touch=True)
    page = guest.open(sample)
    before = guest.fabrics()
    other = _differing(before, 3)
    page.touchscreen.tap(*_middle(page, 3))
    finger = guest.context.new_cdp_session(page)

    def touch(kind: str, *points: tuple[float, float]) -> None:
        places = [{"x": x, "y": y} for x, y in points]
        finger.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": places})

    (x0, y0), (x1, y1) = _middle(page, 3), _middle(page, other)
    touch("touchStart", (x0, y0))
    for part in (0.2, 0.6, 1.0):
        touch("touchMove", (x0 + part * (x1 - x0), y0 + part * (y1 - y0)))
    touch("touchEnd")
    guest.until("!document.querySelector('.ghost')")
    assert guest.fabrics() == _swapped(before, 3, other)
    guest.saved()


def test_the_keyboard_lifts_moves_places_and_puts_back(visit: Any, sample: str) -> None:
    guest = visit()
    page = guest.open(sample)
    before = guest.fabrics()
    _cell(page, 0).focus()
    page.keyboard.press("Enter")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Escape")
    assert guest.fabrics() == before
    assert page.locator("[data-cell][aria-pressed=true]").count() == 0
    page.keyboard.press("Home")
    page.keyboard.press("Enter")
    for _ in range(20):
        page.keyboard.press("ArrowDown")
        index = int(page.evaluate("document.activeElement.dataset.cell"))
        if before[index] != before[0]:
            break
    page.keyboard.press("Enter")
    assert guest.fabrics() == _swapped(before, 0, index)
    assert page.locator(".ring.focus").count() == 2, "the ring lies above the cloth"
    guest.saved()


def test_arrow_keys_reach_every_block(visit: Any, sample: str) -> None:
    page = visit().open(sample)
    _cell(page, 0).focus()
    here = "document.activeElement.dataset.cell"
    reached = {page.evaluate(here)}
    rows = 0
    while True:
        for key in ("Home", *["ArrowRight"] * 5):
            page.keyboard.press(key)
            reached.add(page.evaluate(here))
        page.keyboard.press("Home")
        start = page.evaluate(here)
        page.keyboard.press("ArrowDown")
        rows += 1
        if page.evaluate(here) == start:
            break
    assert rows == 13  # 7 main rows and 6 between them
    assert len(reached) == 72


def test_undo_and_redo_outlive_a_reload(visit: Any, sample: str) -> None:
    guest = visit()
    page = guest.open(sample)
    before = guest.fabrics()
    other = _differing(before, 1)
    _cell(page, 1).click()
    _cell(page, other).click()
    guest.saved()
    page.reload()
    page.wait_for_selector("[data-cell]")
    page.click("#undo")
    guest.until("!document.querySelector('#redo').disabled")
    assert guest.fabrics() == before
    page.keyboard.press("Control+Shift+z")
    guest.until("document.querySelector('#redo').disabled")
    assert guest.fabrics() == _swapped(before, 1, other)


def test_a_locked_block_stays_and_says_so(visit: Any, sample: str) -> None:
    guest = visit()
    page = guest.open(sample)
    before = guest.fabrics()
    _cell(page, 5).click()
    page.get_by_role("button", name="Lock").click()
    page.wait_for_selector(".lock")
    assert "locked" in _cell(page, 5).get_attribute("aria-label")
    guest.saved()
    _cell(page, 5).click()
    _cell(page, _differing(before, 5)).click()
    page.wait_for_selector("quilt-wall .errors p")
    assert "locked" in page.locator("quilt-wall .errors p").inner_text()
    assert guest.fabrics() == before
    _cell(page, 5).focus()
    page.keyboard.press("l")
    guest.until("!document.querySelector('.lock')")
    guest.saved()
    guest.said.clear()  # the browser notes the server's refusal


def test_a_swap_is_drawn_within_two_frames(visit: Any, sample: str) -> None:
    guest = visit()
    page = guest.open(sample)
    guest.at_rest()
    other = _differing(guest.fabrics(), 20)
    frames = page.evaluate(
        """([first, second]) => new Promise((done) => {
          const cell = (i) => document.querySelector(`[data-cell='${i}']`);
          const fill = () => cell(first).lastElementChild.getAttribute('fill');
          const before = fill();
          cell(first).dispatchEvent(new MouseEvent('click', { bubbles: true }));
          cell(second).dispatchEvent(new MouseEvent('click', { bubbles: true }));
          let frames = 0;
          const look = () => (fill() !== before || frames > 60 ? done(frames)
            : (frames += 1, requestAnimationFrame(look)));
          requestAnimationFrame(look);
        })""",
        [20, other],
    )
    assert frames <= 1
    guest.saved()


def test_the_best_swaps_are_shown_and_one_press_makes_one(visit: Any, sample: str) -> None:
    guest = visit()
    page = guest.open(sample)
    guest.step("layout")
    page.wait_for_selector("layout-step button.main")
    swaps = page.locator("button.swap")
    page.evaluate(
        """() => import('/app.js').then(({ workspace }) => workspace.swap(0, 40))"""
    )  # a layout that can surely be improved: put it out of order first
    guest.saved()
    swaps.first.wait_for()
    swaps.first.hover()
    assert page.locator(".ring.shown").count() == 2
    before = guest.fabrics()
    swaps.first.click()
    guest.saved()
    after = guest.fabrics()
    assert sum(a != b for a, b in zip(before, after, strict=True)) == 2
