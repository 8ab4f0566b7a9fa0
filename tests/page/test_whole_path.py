"""From photos to a plan that is kept: the whole way once, as a visitor walks it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest


@pytest.fixture
def photos(demo_photos: tuple[Path, ...], tmp_path: Path) -> list[Path]:
    """Return six photos of fabrics and, in their midst, a file that is no photo."""
    fabrics = [path for path in demo_photos if not path.stem.startswith("background")][::5][:6]
    if len(fabrics) < 6:
        pytest.skip("the sample's photos are not there")
    broken = tmp_path / "broken.jpg"
    broken.write_bytes(b"this is no photo")
    return [*fabrics[:3], broken, *fabrics[3:]]


def test_the_whole_path_from_photos_to_a_file(
    visit: Any, photos: list[Path], demo_photos: tuple[Path, ...]
) -> None:
    guest = visit()
    page = guest.open()
    page.click("#begin")
    page.wait_for_selector("#step-fabrics[open]")
    page.set_input_files("fabrics-step input[multiple]", photos)

    guest.until("document.querySelectorAll('button.tile').length === 6")
    page.wait_for_selector(".broken li")
    assert page.locator(".broken li").count() == 1
    assert "broken.jpg" in page.locator(".broken li").inner_text()
    page.click(".broken button:has-text('Dismiss')")
    assert page.locator(".broken li").count() == 0
    # The browser notes the server's refusal of the broken photo in its console.
    assert all("422" in words for words in guest.said)
    guest.said.clear()

    page.click("fabrics-step .onward button")
    grounds = [path for path in demo_photos if path.stem.startswith("background")]
    page.set_input_files("background-step input[multiple]", grounds)
    guest.until(f"document.querySelectorAll('.candidate').length === {len(grounds)}")
    page.locator(".candidate .option").last.click()
    guest.saved()
    assert page.locator(".candidate input[type=radio]").last.is_checked()

    page.click("background-step .onward button")
    page.locator("picks-step input[type=range]").fill("4")
    guest.saved()
    assert page.locator(".mosaic img").count() == 4
    assert page.locator(".outs .why").count() == 2

    page.click("picks-step .onward button")
    for label, count in (("Blocks across", "3"), ("Blocks down", "3")):
        page.get_by_label(label).fill(count)
        page.get_by_label(label).blur()
    guest.saved()
    page.click("setting-step .onward button")

    guest.until("document.querySelector('layout-step .main').textContent.includes('again')")
    guest.saved()
    assert len(guest.fabrics()) == 13  # on point: 3 x 3 + 2 x 2
    assert len(set(guest.fabrics())) == 4

    page.click("layout-step .onward button")
    page.wait_for_selector("#step-finish[open]")
    guest.step("keep")
    with page.expect_download() as download:
        page.click("keep-step a[href*='plan.json']")
    plan = json.loads(Path(download.value.path()).read_text(encoding="utf-8"))
    assert len(plan["brief"]["swatches"]) == 6
    assert len(plan["layout"]["fabrics"]) == 13
    with page.expect_download() as download:
        page.click("keep-step a[href*='cloth.png']")
    assert Path(download.value.path()).read_bytes().startswith(b"\x89PNG")


def test_a_fabric_can_be_named_marked_and_taken_out(visit: Any, sample: str) -> None:
    guest = visit()
    page = guest.open(sample)
    guest.step("fabrics")
    tile = page.locator("button.tile").first
    tile.click()
    card = page.locator(".card")
    card.get_by_label("Name").fill("Winter plum")
    card.get_by_label("Name").blur()
    guest.saved()
    assert "Winter plum" in tile.inner_text()
    card.get_by_label("Leave out").check()
    guest.saved()
    assert "left out" in tile.inner_text()
    assert "Winter plum" not in guest.fabrics()
    page.click("#undo")
    guest.saved()
    page.click("#undo")
    guest.saved()
    assert "Winter plum" not in tile.inner_text()


def test_a_wrong_length_is_explained_beside_it_and_nothing_changes(visit: Any, sample: str) -> None:
    guest = visit()
    page = guest.open(sample)
    guest.step("setting")
    before = guest.fabrics()
    page.get_by_label("Finished block, inches").fill("wide")
    page.get_by_label("Finished block, inches").blur()
    page.wait_for_selector("setting-step .errors p")
    assert "wide" in page.locator("setting-step .errors p").inner_text()
    assert page.get_by_label("Finished block, inches").input_value() != "wide"
    assert guest.fabrics() == before
    assert all("422" in words for words in guest.said)
    guest.said.clear()


def test_arranging_can_be_stopped_and_leaves_the_quilt_as_it_was(visit: Any, sample: str) -> None:
    guest = visit()
    page = guest.open(sample)
    before = guest.fabrics()
    guest.step("layout")
    # The network is held back so that there is time to press the button.
    page.route("**/layout", lambda _: None)
    page.evaluate(
        "import('/app.js').then(({ workspace }) => { workspace.arrange().catch(() => {}); })"
    )
    guest.until("document.querySelector('#status').textContent === 'Saving'")
    page.evaluate("import('/app.js').then(({ workspace }) => workspace.stop())")
    guest.until("document.querySelector('#status').textContent.startsWith('Stopped')")
    assert guest.fabrics() == before


def test_work_that_does_not_reach_the_program_goes_out_again(visit: Any, sample: str) -> None:
    guest = visit()
    page = guest.open(sample)
    guest.step("layout")
    page.route("**/layout", lambda route: route.abort())
    before = guest.fabrics()
    page.click("layout-step button.main")
    guest.until("document.querySelector('#status').textContent.startsWith('Not saved')")
    page.unroute("**/layout")
    guest.saved()
    assert guest.fabrics() != before
    guest.said.clear()  # the browser notes the request that failed


def test_a_visitor_of_a_pattern_tries_it_with_fabrics_of_her_own(visit: Any, sample: str) -> None:
    guest = visit()
    guest.page.goto(f"{guest.address}/api/plans/{sample}/booklet.html")
    guest.page.click("text=Try this pattern with your own fabrics")
    guest.page.wait_for_selector("quilt-wall .quilt")
    guest.until("location.hash.startsWith('#plan=')")
    assert sample not in guest.page.url
    assert guest.page.input_value("#title") == "Orchard in late August"
    assert guest.page.evaluate("document.querySelector('#step-fabrics').open")
    assert guest.page.locator("button.tile").count() == 0
