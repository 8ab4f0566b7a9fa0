"""The step Fabrics: the bundle sorted, photos on their way, one photo of all, white paper."""

from __future__ import annotations

import json
import urllib.request
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from PIL import Image

from palette.colour import Lab, difference, lab_to_light, light_to_lab
from palette.photo.read import read

if TYPE_CHECKING:
    from pathlib import Path

PLAIN = {
    "plum": (92, 40, 74),
    "moss": (96, 112, 58),
    "straw": (214, 186, 110),
    "brick": (164, 72, 52),
    "slate": (74, 90, 108),
    "rose": (206, 142, 146),
}
"""Invented fabrics: sRGB."""
TABLE = (120, 96, 72)
COLUMNS, PIECE, GAP, EDGE = 3, 200, 90, 120


def _cloth(colour: tuple[int, ...], size: int, seed: int = 1) -> Any:
    """Return a plain weave of a colour, with a little noise."""
    noise = np.random.default_rng(seed).normal(0, 4, (size, size, 1))
    return np.clip(np.array(colour) + noise, 0, 255).astype(np.uint8)


def _save(pixels: Any, path: Path) -> Path:
    Image.fromarray(pixels).save(path, quality=94)
    return path


@pytest.fixture
def photos(tmp_path: Path) -> dict[str, Path]:
    """Return one photo of each invented fabric."""
    return {
        name: _save(_cloth(colour, 640), tmp_path / f"{name}.jpg") for name, colour in PLAIN.items()
    }


@pytest.fixture
def bundle(tmp_path: Path) -> Path:
    """Return one photo of all of them on a table, with a white card beside them."""
    across = 2 * EDGE + COLUMNS * PIECE + (COLUMNS - 1) * GAP + 260
    down = 2 * EDGE + 2 * PIECE + GAP
    table = np.random.default_rng(2).normal(0, 3, (down, across, 1)) + np.array(TABLE)
    photo = np.clip(table, 0, 255).astype(np.uint8)
    for number, colour in enumerate(PLAIN.values()):
        y = EDGE + (number // COLUMNS) * (PIECE + GAP)
        x = EDGE + (number % COLUMNS) * (PIECE + GAP)
        photo[y : y + PIECE, x : x + PIECE] = _cloth(colour, PIECE, number)
    photo[EDGE : EDGE + 160, -240:-120] = (225, 216, 198)
    return _save(photo, tmp_path / "all of them.jpg")


def _brief(guest: Any) -> dict[str, Any]:
    """Return the plan that is open, as the server has it."""
    plan = guest.page.url.split("#plan=")[1]
    with urllib.request.urlopen(f"{guest.address}/api/plans/{plan}", timeout=30) as answer:
        brief: dict[str, Any] = json.load(answer)["plan"]["brief"]
    return brief


def _started(visit: Any, **context: Any) -> Any:
    guest = visit(**context)
    guest.open()
    guest.page.click("#begin")
    guest.page.wait_for_selector("#step-fabrics[open]")
    return guest


def _count(guest: Any, selector: str, count: int) -> None:
    guest.until(f"document.querySelectorAll({selector!r}).length === {count}")


def _names(page: Any) -> list[str]:
    names: list[str] = page.locator("fabrics-step button.tile .name").all_inner_texts()
    return names


def test_the_bundle_is_sorted_marked_retaken_and_a_fabric_given_back(
    visit: Any, photos: dict[str, Path], tmp_path: Path
) -> None:
    guest = _started(visit)
    page = guest.page
    page.set_input_files("fabrics-step .drop input[multiple]", list(photos.values()))
    _count(guest, "fabrics-step button.tile", len(photos))
    guest.saved()
    assert _names(page) == list(PLAIN)

    page.locator("input[name=show-as][value=lightness]").check()
    # Lightness of these colours by CIE 1976, as a reference library gives it.
    from skimage.color import rgb2lab

    lab = {name: rgb2lab(np.array(colour) / 255) for name, colour in PLAIN.items()}
    assert _names(page) == sorted(PLAIN, key=lambda name: -lab[name][0])
    page.locator("input[name=show-as][value=hue]").check()
    round_the_wheel = [name for name in _names(page) if np.hypot(*lab[name][1:]) > 12]
    angles = [np.degrees(np.arctan2(lab[n][2], lab[n][1])) % 360 for n in round_the_wheel]
    turns = [(b - a) % 360 for a, b in pairwise(angles)]
    assert sum(turns) < 360

    page.locator("input[name=show-as][value=greys]").check()
    tile = page.locator("fabrics-step button.tile").first.locator(".picture .cloth")
    shot = tmp_path / "grey.png"
    tile.screenshot(path=shot)
    middle = np.asarray(Image.open(shot).convert("RGB"))[20:50, 20:50].reshape(-1, 3).mean(axis=0)
    assert np.ptp(middle) < 1, "greys are neutral"
    assert rgb2lab(middle / 255)[0] == pytest.approx(max(v[0] for v in lab.values()), abs=1.5)

    page.locator("input[name=show-as][value=came]").check()
    page.locator("fabrics-step button.tile").first.click()
    card = page.locator(".card")
    assert "as photographed" in card.inner_text()
    told = int(card.inner_text().split("Lightness ")[1].split(" of 100")[0])
    assert told == pytest.approx(lab["plum"][0], abs=1)
    for mark in ("Must be used", "Has an up and a down"):
        card.get_by_label(mark).check()
        guest.saved()
    tile = page.locator("fabrics-step button.tile").first
    assert tile.locator(".mark").count() == 2
    assert "must be used" in tile.inner_text()

    new = _save(_cloth((40, 120, 130), 640), tmp_path / "retaken.jpg")
    card.locator("input[type=file]:not([capture])").set_input_files(new)
    guest.until(f"!document.querySelector('.card').innerText.includes('Lightness {told} of')")
    guest.saved()
    first = _brief(guest)["swatches"][0]
    assert (first["fabric"]["name"], first["must_use"]) == ("plum", True)
    lightness = rgb2lab(np.array((40, 120, 130)) / 255)[0]
    assert first["fabric"]["reads_as"]["lightness"] == pytest.approx(lightness, abs=1)

    card.get_by_role("button", name="Take out of the bundle").click()
    _count(guest, "fabrics-step button.tile", len(photos) - 1)
    page.get_by_role("button", name="Put it back").click()
    _count(guest, "fabrics-step button.tile", len(photos))
    guest.saved()
    assert _names(page) == list(PLAIN)
    assert page.locator(".way-back").inner_text() == ""


def test_photos_wait_out_a_lost_connection_and_a_broken_one_stops_nothing(
    visit: Any, photos: dict[str, Path], tmp_path: Path
) -> None:
    guest = _started(visit)
    page = guest.page
    broken = tmp_path / "broken.jpg"
    broken.write_bytes(b"this is no photo")
    files = list(photos.values())
    guest.context.set_offline(True)
    page.set_input_files("fabrics-step .drop input[multiple]", [*files[:3], broken, *files[3:]])
    guest.until("document.querySelector('fabrics-step .count').innerText.includes('connection')")
    assert page.locator(".tile.reading").count() == len(photos) + 1
    assert "7 photos wait" in page.locator("fabrics-step .count").inner_text()
    guest.context.set_offline(False)

    _count(guest, "fabrics-step button.tile", len(photos))
    page.locator(".broken li").wait_for()
    assert _names(page) == list(PLAIN)
    assert "broken.jpg" in page.locator(".broken li").inner_text()
    page.get_by_role("button", name="Try again").click()
    _count(guest, ".broken li", 1)
    page.get_by_role("button", name="Dismiss").click()
    _count(guest, ".broken li", 0)
    assert len(_brief(guest)["swatches"]) == len(photos)
    guest.said.clear()  # the browser notes requests that failed


def _corners(page: Any, piece: int) -> list[list[float]]:
    points: str = page.locator("dialog[open] .board .piece").nth(piece).get_attribute("points")
    return [[float(part) for part in point.split(",")] for point in points.split()]


def _idle(guest: Any) -> None:
    guest.at_rest()
    guest.until("!document.querySelector('dialog[open] .working:not([hidden])')")


def test_a_large_photo_keeps_the_vivid_colours_it_has(
    visit: Any, tmp_path: Path, display_p3: bytes
) -> None:
    # A green that sRGB has no numbers for; large enough to be made smaller before it is sent.
    green = (20, 235, 60)
    noise = np.random.default_rng(3).normal(0, 14, (3000, 3000, 3))
    large = np.clip(np.array(green) + noise, 0, 255).astype(np.uint8)
    path = tmp_path / "leaf.jpg"
    Image.fromarray(large).save(path, quality=97, icc_profile=display_p3)
    assert path.stat().st_size > 4e6
    true = read(path.read_bytes(), id="leaf", name="leaf").fabric.reads_as
    guest = _started(visit)
    guest.page.set_input_files("fabrics-step input[type=file]:not([capture])", path)
    _count(guest, "fabrics-step button.tile", 1)
    lab = _brief(guest)["swatches"][0]["fabric"]["reads_as"]
    assert difference(Lab(**lab).array(), true.array()) < 1
    clipped = light_to_lab(np.clip(lab_to_light(true.array()), 0, 1))
    assert difference(clipped, true.array()) > 4


def test_one_photo_of_the_bundle_is_taken_apart_and_put_right_by_hand(
    visit: Any, bundle: Path
) -> None:
    guest = _started(visit, bypass_csp=True)
    page = guest.page
    page.set_input_files("fabrics-step .drop input[multiple]", bundle)
    screen = page.locator("dialog[open]")
    # The white card is found to be none of them.
    _count(guest, "dialog[open] .board .piece", len(PLAIN))
    _idle(guest)
    card = screen.get_by_label("White paper in the photo corrects the colours")
    assert card.is_checked()
    card.uncheck()
    with Image.open(bundle) as photo:
        width, height = photo.size

    def at(x: float, y: float) -> tuple[float, float]:
        box = screen.locator(".board").bounding_box()
        return box["x"] + x / width * box["width"], box["y"] + y / height * box["height"]

    screen.get_by_role("button", name="This is paper").click()
    page.mouse.click(*at(width - 180, EDGE + 80))
    assert card.is_checked()
    _idle(guest)

    # A corner by drag, by keys, and by tap.
    page.mouse.click(*at(EDGE + PIECE / 2, EDGE + PIECE / 2))
    handles = screen.locator(".handle")
    assert handles.count() == 4
    start = _corners(page, 0)[0]
    page.mouse.move(*at(*start))
    page.mouse.down()
    page.mouse.move(*at(EDGE + 40, EDGE + 40), steps=4)
    page.mouse.up()
    _idle(guest)
    assert _corners(page, 0)[0] == pytest.approx([EDGE + 40, EDGE + 40], abs=3)
    handles.nth(2).focus()
    before = _corners(page, 0)[2]
    # A corner counts as placed when no arrow key comes any more.
    with page.expect_response("**/bundle/correct"):
        for key in ("ArrowLeft", "ArrowLeft", "Shift+ArrowUp"):
            page.keyboard.press(key)
    _idle(guest)
    after = _corners(page, 0)[2]
    # Photo pixels in one of the screen.
    scale = width / screen.locator(".board").bounding_box()["width"]
    assert after[0] == pytest.approx(before[0] - 2 * scale, abs=0.5)
    assert after[1] == pytest.approx(before[1] - 10 * scale, abs=0.5)
    page.mouse.click(*at(*_corners(page, 0)[0]))
    assert handles.nth(0).get_attribute("aria-pressed") == "true"
    page.mouse.click(*at(EDGE, EDGE))
    _idle(guest)
    assert _corners(page, 0)[0] == pytest.approx([EDGE, EDGE], abs=3)

    # Split, join, take away, add by pointing (by keys here), and steps back.
    screen.get_by_role("button", name="Split side by side").click()
    _count(guest, "dialog[open] .board .piece", len(PLAIN) + 1)
    _idle(guest)
    screen.locator(".crop").nth(0).click()
    screen.get_by_role("button", name="Join with another").click()
    screen.locator(".crop").nth(1).click()
    _count(guest, "dialog[open] .board .piece", len(PLAIN))
    _idle(guest)
    screen.locator(".crop").nth(4).click()
    screen.get_by_role("button", name="Take away").click()
    _count(guest, "dialog[open] .board .piece", len(PLAIN) - 1)
    _idle(guest)
    screen.get_by_role("button", name="Add a fabric").click()
    aim = (EDGE + 1.5 * PIECE + GAP, EDGE + 1.5 * PIECE + GAP)  # where the fifth one lies
    right, below = aim[0] - width / 2, aim[1] - height / 2
    for way, forth, back in ((right, "Right", "Left"), (below, "Down", "Up")):
        for _ in range(round(abs(way) / scale / 10)):
            page.keyboard.press(f"Shift+Arrow{forth if way > 0 else back}")
    page.keyboard.press("Enter")
    _count(guest, "dialog[open] .board .piece", len(PLAIN))
    _idle(guest)
    screen.get_by_role("button", name="Step back").click()
    _count(guest, "dialog[open] .board .piece", len(PLAIN) - 1)

    screen.get_by_label("Name of fabric 2").fill("Water meadow")
    screen.get_by_role("button", name=f"Add {len(PLAIN) - 1} fabrics").click()
    _count(guest, "fabrics-step button.tile", len(PLAIN) - 1)
    guest.saved()
    swatches = _brief(guest)["swatches"]
    assert "Water meadow" in [swatch["fabric"]["name"] for swatch in swatches]
    assert {swatch["fabric"]["corrected"] for swatch in swatches} == {"white"}
    page.locator("fabrics-step button.tile").first.click()
    assert "white paper" in page.locator(".card").inner_text()
    assert "in the same photo" in page.locator(".card").inner_text()


def test_a_grid_is_counted_and_its_outline_moved_by_touch_on_a_phone(
    visit: Any, tmp_path: Path
) -> None:
    rows = [list(PLAIN.values())[:3], list(PLAIN.values())[3:]]
    whole = np.concatenate([np.concatenate([_cloth(c, 240) for c in row], axis=1) for row in rows])
    photo = np.pad(whole, ((160, 160), (160, 160), (0, 0)), constant_values=200)
    file = _save(photo, tmp_path / "grid.jpg")
    guest = _started(visit, viewport={"width": 360, "height": 740}, has_touch=True, is_mobile=True)
    page = guest.page
    page.set_input_files("fabrics-step .drop input[multiple]", file)
    _count(guest, "fabrics-step button.tile", 1)
    page.locator("fabrics-step button.tile").tap()
    page.get_by_role("button", name="Put right by hand").tap()
    page.get_by_role("button", name="Several fabrics lie in it").tap()
    screen = page.get_by_role("dialog", name="Several fabrics in one photo")
    screen.get_by_role("button", name="They lie in another way").tap()
    screen.get_by_label("Edge to edge, in rows").check()
    screen.get_by_label("Rows", exact=True).fill("2")
    screen.get_by_label("Columns").fill("3")
    screen.get_by_role("button", name="Look again").tap()
    screen.get_by_label("Upper edge of each piece").fill("5")
    _count(guest, "dialog[open] .board .piece", 6)
    _idle(guest)
    assert page.evaluate("document.documentElement.scrollWidth <= 360")
    assert page.evaluate("document.querySelector('dialog[open]').scrollWidth <= 360")
    screen.get_by_label("Name of fabric 6").fill("Rose garden")
    before = _corners(page, 5)[2]
    screen.locator(".handle").nth(2).tap()
    box = screen.locator(".board").bounding_box()
    page.touchscreen.tap(box["x"] + 0.8 * box["width"], box["y"] + 0.75 * box["height"])
    guest.until("!document.querySelector('dialog[open] .handle[aria-pressed=true]')")
    _idle(guest)
    height, width, _ = photo.shape
    assert _corners(page, 5)[2] == pytest.approx([0.8 * width, 0.75 * height], abs=4)
    assert _corners(page, 5)[2] != before
    assert screen.get_by_label("Name of fabric 6").input_value() == "Rose garden"
    screen.get_by_role("button", name="Add 6 fabrics").tap()
    _count(guest, "fabrics-step button.tile", 6)
    guest.saved()
    assert all(swatch["shows_given"] for swatch in _brief(guest)["swatches"])


def test_white_paper_shown_in_one_photo_serves_all_in_that_light(
    visit: Any, tmp_path: Path
) -> None:
    # Lamp light: what is neutral comes out yellow. The paper lies where it is not looked for.
    def in_lamplight(name: str, colour: tuple[int, ...], paper: bool) -> Path:
        photo = _cloth(colour, 640) * np.array([0.9, 0.8, 0.55])
        if paper:
            photo[220:420, 0:180] = np.array([235, 235, 235]) * np.array([0.9, 0.8, 0.55])
            photo[500:, 500:] = (250, 240, 190)
        return _save(photo.astype(np.uint8), tmp_path / f"{name}.jpg")

    with_paper = in_lamplight("slate", PLAIN["slate"], paper=True)
    without = in_lamplight("rose", PLAIN["rose"], paper=False)
    guest = _started(visit)
    page = guest.page
    page.get_by_label("White paper in the photos").select_option("mark")
    page.get_by_label("Name of the light").fill("sewing lamp")
    page.set_input_files("fabrics-step .drop input[multiple]", [without, with_paper])
    screen = page.locator("dialog[open]")
    screen.get_by_role("button", name="There is none in this photo").click()
    guest.until("document.querySelector('dialog[open] .board img').alt === 'slate.jpg'")
    box = screen.locator(".board").bounding_box()
    page.mouse.move(box["x"] + 0.05 * box["width"], box["y"] + 0.4 * box["height"])
    page.mouse.down()
    page.mouse.move(box["x"] + 0.2 * box["width"], box["y"] + 0.6 * box["height"], steps=4)
    page.mouse.up()
    _count(guest, "fabrics-step button.tile", 2)
    guest.saved()
    swatches = {s["fabric"]["name"]: s["fabric"] for s in _brief(guest)["swatches"]}
    assert {fabric["corrected"] for fabric in swatches.values()} == {"white"}
    assert {fabric["light"] for fabric in swatches.values()} == {"sewing lamp"}
    # The rose is far less yellow than in the photo as taken (CIE b*, by a reference library).
    from skimage.color import rgb2lab

    taken = rgb2lab(np.array(PLAIN["rose"]) * np.array([0.9, 0.8, 0.55]) / 255)[2]
    assert swatches["rose"]["reads_as"]["b"] < taken - 10
    page.locator("fabrics-step button.tile").first.click()
    assert "in the same light" in page.locator(".card").inner_text()


def _halves(path: Path) -> Path:
    """Return a photo of two plain fabrics side by side, 640 x 480, which is taken for one."""
    cloth = np.concatenate([_cloth(PLAIN["brick"], 480), _cloth(PLAIN["slate"], 480)], axis=1)
    return _save(cloth[:, 160:800], path)


def _framed(guest: Any) -> list[list[float]]:
    """Return the corners told by hand of the last fabric."""
    taken = _brief(guest)["swatches"][-1]["taken"]
    return [] if taken["corners"] is None else list(taken["corners"]["corners"])


@pytest.mark.parametrize("means", ["mouse", "touch", "keys"])
def test_a_fabric_is_framed_by_hand_and_the_way_back_is_open(
    visit: Any, tmp_path: Path, means: str
) -> None:
    guest = _started(visit, bypass_csp=True, has_touch=means == "touch")
    page = guest.page
    page.set_input_files("fabrics-step .drop input[multiple]", _halves(tmp_path / "halves.png"))
    _count(guest, "fabrics-step button.tile", 1)
    guest.saved()
    page.locator("fabrics-step button.tile").click()
    page.get_by_role("button", name="Put right by hand").click()
    screen = page.get_by_role("dialog", name="Put right by hand")
    handles = screen.locator(".handle")
    handles.nth(3).wait_for()
    guest.at_rest()
    box = screen.locator(".board").bounding_box()

    def at(x: float, y: float) -> tuple[float, float]:
        return box["x"] + x * box["width"], box["y"] + y * box["height"]

    # The upper and the lower right corner go to the middle: brick alone is framed.
    for corner, y in ((1, 0.1), (2, 0.9)):
        with page.expect_response("**/reading/look"):
            _bring(guest, means, handles.nth(corner), at(0.45, y))
        guest.at_rest()
    assert screen.locator(".lens").is_visible() == (means == "keys")
    screen.get_by_role("button", name="Use it").click()
    screen.wait_for(state="hidden")
    guest.saved()
    told = _framed(guest)
    assert told[1] == pytest.approx([0.45, 0.1], abs=0.01)
    assert told[2] == pytest.approx([0.45, 0.9], abs=0.01)
    lab = _brief(guest)["swatches"][-1]["fabric"]["reads_as"]
    from skimage.color import deltaE_ciede2000, rgb2lab

    seen = [lab["lightness"], lab["a"], lab["b"]]
    assert deltaE_ciede2000(seen, rgb2lab(np.array(PLAIN["brick"]) / 255)) < 1.5
    page.get_by_role("button", name="Undo", exact=True).click()
    guest.saved()
    assert _framed(guest) == []


def _bring(guest: Any, means: str, handle: Any, to: tuple[float, float]) -> None:
    """Bring a corner to a place of the screen."""
    page, box = guest.page, handle.bounding_box()
    start = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    if means == "mouse":
        page.mouse.move(*start)
        page.mouse.down()
        page.mouse.move(*to, steps=4)
        page.mouse.up()
    elif means == "touch":
        handle.tap()
        page.touchscreen.tap(*to)
    else:
        handle.focus()
        for moved, forth, back in (
            (to[0] - start[0], "Right", "Left"),
            (to[1] - start[1], "Down", "Up"),
        ):
            key = f"Arrow{forth if moved > 0 else back}"
            for _ in range(int(abs(moved) // 10)):
                page.keyboard.press(f"Shift+{key}")
            for _ in range(round(abs(moved) % 10)):
                page.keyboard.press(key)


def test_paper_and_a_colour_of_its_own_are_told_and_taken_back(visit: Any, tmp_path: Path) -> None:
    guest = _started(visit, bypass_csp=True)
    page = guest.page
    page.set_input_files("fabrics-step .drop input[multiple]", _halves(tmp_path / "halves.png"))
    _count(guest, "fabrics-step button.tile", 1)
    guest.saved()
    page.locator("fabrics-step button.tile").click()
    page.get_by_role("button", name="Put right by hand").click()
    screen = page.get_by_role("dialog", name="Put right by hand")
    guest.at_rest()
    kind = screen.get_by_label("Kind of the paper")
    assert kind.is_hidden()
    screen.get_by_role("button", name="This is paper").click()
    for key in ("Shift+ArrowRight", "Shift+ArrowDown", "Enter"):
        page.keyboard.press(key)
    kind.select_option("Mid-grey card")
    guest.at_rest()
    screen.get_by_label("Type a colour of its own").fill("#7a3b4e")
    screen.get_by_role("button", name="Set it").click()
    guest.at_rest()
    screen.get_by_role("button", name="Use it").click()
    screen.wait_for(state="hidden")
    guest.saved()
    (swatch,) = _brief(guest)["swatches"]
    taken = swatch["taken"]
    assert (taken["paper"], taken["colour"]) == ("grey-card", "#7a3b4e")
    assert len(taken["white"].split(",")) == 2
    assert "was given, not read" in page.locator(".card").inner_text()

    page.get_by_role("button", name="Put right by hand").click()
    screen.get_by_role("button", name="As it was found").click()
    screen.get_by_role("button", name="Step back").click()
    screen.get_by_role("button", name="As it was found").click()
    guest.at_rest()
    screen.get_by_role("button", name="Use it").click()
    screen.wait_for(state="hidden")
    guest.saved()
    taken = _brief(guest)["swatches"][0]["taken"]
    assert (taken["white"], taken["colour"], taken["corners"]) == ("auto", "", None)
