"""The setting: lengths in either unit, sashing, and a block of one's own with its faults told."""

from __future__ import annotations

from typing import Any


def _brief(page: Any, plan: str) -> Any:
    return page.evaluate(f"fetch('/api/plans/{plan}').then((r) => r.json())")["plan"]["brief"]


def test_lengths_are_read_in_the_unit_that_is_chosen(visit: Any, own: str) -> None:
    guest = visit()
    page = guest.open(own)
    guest.step("setting")
    page.get_by_label("Centimetres").check()
    side = page.get_by_label("Finished block, cm")
    side.wait_for()
    guest.saved()
    assert side.input_value() == "21.59"  # 8 1/2 inches of 2.54 cm
    side.fill("20")
    side.blur()
    guest.saved()
    assert _brief(page, own)["setting"]["block_size"] == "200 mm"
    page.get_by_label("Sashing, finished width, cm").fill("2,5")
    page.get_by_label("Sashing, finished width, cm").blur()
    page.check("text=Cornerstones")
    guest.saved()
    setting = _brief(page, own)["setting"]
    assert (setting["sashing"], setting["cornerstones"]) == ("25 mm", True)
    assert "cm" in page.locator("setting-step .sentence").inner_text()


def test_a_block_of_ones_own_is_drawn_or_its_faults_are_listed(visit: Any, own: str) -> None:
    guest = visit()
    page = guest.open(own)
    guest.step("setting")
    page.click("text=A block of my own")
    patches = page.get_by_label("Its patches, a row a line")
    patches.fill("B vBF B\n>BF Q <BF")
    use = page.locator("setting-step .fold button")
    use.click()
    faults = page.locator("setting-step .fold .errors p")
    faults.wait_for()
    assert "rows" in faults.inner_text()
    guest.said.clear()  # the browser notes the server's refusal

    patches.fill("F/B F F\\B\nF B F\nB/F F B\\F")
    page.get_by_label("Its name").fill("Lantern")
    use.click()
    page.wait_for_selector("setting-step .fold summary >> text=in use: Lantern")
    guest.saved()
    feature = page.locator("[data-cell='0'] path").last.get_attribute("d")
    assert feature.count("M") == 8, "four whole patches and four triangles take the fabric"
    page.get_by_label("Nine patch", exact=True).check()
    guest.until("!/in use/.test(document.querySelector('setting-step .fold summary').textContent)")


def test_the_second_feature_is_chosen_beside_the_block_and_nowhere_else(
    visit: Any, own: str
) -> None:
    guest = visit()
    page = guest.open(own)
    guest.step("setting")
    second = page.get_by_role("button", name="Second feature cut from")
    page.get_by_label("Nine patch", exact=True).check()
    second.wait_for(state="hidden")
    blocks = page.evaluate("fetch('/api/blocks').then((r) => r.json())")
    two = next(b["title"] for b in blocks if any(p["role"] == "S" for p in b["patches"]))
    page.get_by_label(two, exact=True).check()
    second.click()
    page.locator("setting-step .cloths .tile").nth(2).click()
    guest.saved()
    chosen = _brief(page, own)["second_fabric"]
    assert chosen
    names = {s["fabric"]["id"]: s["fabric"]["name"] for s in _brief(page, own)["swatches"]}
    names |= {s["fabric"]["id"]: s["fabric"]["name"] for s in _brief(page, own)["backgrounds"]}
    assert names[chosen] in second.inner_text()
    guest.step("finish")
    assert page.locator("finish-step >> text=/second/i").count() == 0
