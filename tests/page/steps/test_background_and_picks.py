"""Choosing a background and the fabrics, by mouse and by keyboard alone."""

from __future__ import annotations

from typing import Any

from tests.page.server import begin, seen

GROUPS = (("clear",), ("soft",), ("camouflage", "lost"))


def test_backgrounds_are_compared_tried_added_named_and_removed(visit: Any, address: str) -> None:
    plan = begin(address)
    guest = visit()
    page = guest.open(plan)
    guest.step("background")
    cards = page.locator("[role=radiogroup] > .candidate")
    assert cards.count() == 3

    # Each shows all fabrics from standing out to sinking, as the program judged them.
    before = seen(address, plan)
    for index, candidate in enumerate(before["plan"]["brief"]["backgrounds"]):
        ground = candidate["fabric"]["id"]
        entries = [e for e in before["plan"]["contrasts"] if e["background"] == ground]
        entries.sort(key=lambda entry: -entry["difference"])
        for place, verdicts in enumerate(GROUPS):
            expected = [
                before["pictures"][e["fabric"]].rsplit("/", 1)[1]
                for e in entries
                if e["verdict"] in verdicts
            ]
            group = cards.nth(index).locator(".patches > span").nth(place)
            found = group.locator("img").evaluate_all(
                "all => all.map(i => i.getAttribute('src').split('/').pop().split('?')[0])"
            )
            assert found == expected

    # Pointing at one shows the quilt on it and saves nothing.
    ink = before["plan"]["brief"]["backgrounds"][2]["fabric"]["id"]
    on_ink = f"document.querySelector('quilt-wall [fill=\"url(#cloth-{ink})\"]') !== null"
    assert not page.evaluate(on_ink)
    cards.nth(2).hover()
    assert page.evaluate(on_ink)
    page.mouse.move(5, 5)
    assert not page.evaluate(on_ink)
    assert seen(address, plan)["revision"] == before["revision"]

    # As colour-blind eyes see it, chosen by a key and told at once; fabrics are shown so, too.
    page.locator("#eyes").focus()
    page.keyboard.press("ArrowDown")
    assert page.locator("#eyes").input_value() == "protan"
    assert page.locator("#eyes-note").inner_text() == before["words"]["eyes"]["protan"]
    seen_so = "getComputedStyle(document.querySelector('.candidate .cloth')).filter"
    assert "eyes-protan" in page.evaluate(seen_so)
    page.keyboard.press("ArrowUp")
    assert page.locator("#eyes-note").inner_text() == ""

    # A colour that is none is refused in words; one that is becomes a candidate.
    typed = page.get_by_label("Type a colour of your own")
    typed.fill("plumm")
    typed.press("Enter")
    page.locator(".own-colour .errors p").first.wait_for()
    assert "'plumm'" in page.locator("background-step .own-colour .errors").inner_text()
    typed.fill("#203a4c")
    typed.press("Enter")
    guest.until("document.querySelectorAll('[role=radiogroup] > .candidate').length === 4")
    page.get_by_label("Pick a colour of your own").fill("#eadfc4")
    page.locator("background-step .own-colour button").click()
    guest.until("document.querySelectorAll('[role=radiogroup] > .candidate').length === 5")
    guest.saved()

    cards.nth(3).locator("input.rename").fill("Night pond")
    cards.nth(3).locator("input.rename").blur()
    guest.saved()
    cards.nth(3).locator(".option").click()
    guest.saved()
    after = seen(address, plan)
    chosen = after["plan"]["background"]
    named = {s["fabric"]["id"]: s["fabric"]["name"] for s in after["plan"]["brief"]["backgrounds"]}
    assert named[chosen] == "Night pond"
    assert after["colours"][chosen] == "#203a4c"
    tally = after["verdicts"][chosen]
    sunk = tally["lost"] + tally["camouflage"]
    assert sunk > 0, "the bundle has dark fabrics, so some must sink into a dark blue"
    assert f"{sunk} sink" in cards.nth(3).inner_text()
    assert page.locator(".sinking .why").count() == sunk
    # Another candidate's sinking fabrics can be read without choosing it.
    cards.nth(0).get_by_role("button", name="sink").click()
    assert "Oat linen" in page.locator("background-step h3").first.inner_text()
    assert cards.nth(3).locator("input[type=radio]").is_checked()

    page.get_by_role("button", name="Remove Night pond").click()
    guest.until("document.querySelectorAll('[role=radiogroup] > .candidate').length === 4")
    page.click("#undo")
    guest.until("document.querySelectorAll('[role=radiogroup] > .candidate').length === 5")


def _kept(address: str, plan: str) -> list[str]:
    return list(seen(address, plan)["plan"]["choice"]["kept"])


def _bundle(address: str, plan: str) -> Any:
    return seen(address, plan)["plan"]["brief"]["swatches"]


def test_fabrics_are_swapped_left_out_and_brought_back_by_keyboard(
    visit: Any, address: str
) -> None:
    plan = begin(address)
    guest = visit()
    page = guest.open(plan)
    guest.step("picks")
    before = _kept(address, plan)
    on_the_wall = guest.fabrics()

    tile = page.locator("picks-step .mosaic > .tile").nth(2)
    out = str(tile.get_attribute("aria-label"))
    tile.focus()
    page.keyboard.press("Enter")
    first = page.locator("picks-step .card .swap").first
    first.wait_for()
    assert page.locator("picks-step .card .swap").count() == 30 - len(before)
    assert first.bounding_box()["height"] < 160, "a line of its own: a small picture, words beside"
    name = first.locator("span").first.inner_text().split("\n")[0]
    first.focus()
    page.keyboard.press("Enter")
    guest.saved()
    after = _kept(address, plan)
    assert len(after) == len(before)
    came = {s["fabric"]["name"] for s in _bundle(address, plan) if s["fabric"]["id"] in after}
    assert name in came
    assert out not in came
    told = page.locator("picks-step > [role=status]").inner_text()
    assert f"{name} is used in place of {out}." in told
    # Every fabric that came in besides is told.
    for swatch in _bundle(address, plan):
        if swatch["fabric"]["id"] in set(after) - set(before):
            assert swatch["fabric"]["name"] in told
    if len(set(after) - set(before)) > 1:
        page.get_by_role("button", name="Change nothing else").focus()
        page.keyboard.press("Enter")
        guest.until("document.querySelector('picks-step [role=status] button') === null")
        guest.saved()
        after = _kept(address, plan)
        assert len(set(after) - set(before)) == 1
    assert out not in guest.fabrics()
    assert name in guest.fabrics()
    page.keyboard.press("Control+z")
    guest.saved()
    assert _kept(address, plan) == before
    assert guest.fabrics() == on_the_wall

    tile = page.locator("picks-step .mosaic > .tile").first
    name = str(tile.get_attribute("aria-label"))
    tile.focus()
    page.keyboard.press("Enter")
    page.locator("picks-step .card").get_by_role("button", name="Leave it out").focus()
    page.keyboard.press("Enter")
    guest.saved()
    assert f"'{name}' is left out by hand." in page.locator(".outs").last.inner_text()
    page.get_by_role("button", name=f"Use {name}").focus()
    page.keyboard.press("Enter")
    guest.saved()
    page.get_by_role("button", name=name, exact=True).focus()
    page.keyboard.press("Enter")
    assert page.locator("picks-step .card").get_by_label("Must be used").is_checked()


def test_when_too_few_survive_a_tap_brings_more_back(visit: Any, address: str) -> None:
    plan = begin(address)
    guest = visit(viewport={"width": 360, "height": 740}, has_touch=True)
    page = guest.open(plan)
    guest.step("picks")
    page.locator("picks-step input[type=range]").fill("30")
    guest.saved()
    before = _kept(address, plan)
    assert len(before) < 30
    page.locator(".relax button").first.tap()
    guest.saved()
    assert len(_kept(address, plan)) > len(before)


def test_what_the_pick_is_made_for_is_chosen_and_told(visit: Any, address: str) -> None:
    plan = begin(address)
    guest = visit()
    page = guest.open(plan)
    guest.step("picks")
    page.locator("picks-step input[type=range]").fill("12")
    page.locator("picks-step input[type=range]").dispatch_event("change")
    guest.saved()
    page.get_by_label("Pick them").select_option("values")
    guest.saved()
    by_values = _kept(address, plan)
    mood = page.locator("picks-step .row:has(input[type=color]) select")
    told = page.locator("picks-step > .beside")
    assert "so that light, medium and dark are nearly alike in number" in told.inner_text()
    assert not mood.is_visible()

    page.get_by_label("Pick them").select_option("mood")
    guest.saved()
    # It starts with a fabric in use, not with the background.
    assert seen(address, plan)["plan"]["brief"]["mood"] == by_values[0]
    first = seen(address, plan)["plan"]["brief"]["swatches"][0]["fabric"]
    mood.select_option(first["id"])
    guest.saved()
    assert f"in the mood of '{first['name']}'" in told.inner_text()
    assert seen(address, plan)["plan"]["choice"]["off"] > 0
    mood.select_option("#")
    guest.saved()
    page.get_by_label("Colour of the mood").fill("#2f4a6b")
    guest.saved()
    assert "in the mood of #2f4a6b" in told.inner_text()
