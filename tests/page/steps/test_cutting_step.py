"""Cutting on the page: what fits, what is short, the drawing with its cuts, metric work."""

from __future__ import annotations

import json
from typing import Any

from tests.page.server import begin, send


def _verdict(guest: Any, words: str) -> None:
    said = "document.querySelector('cutting-step .sentence').textContent"
    guest.until(f"{said} === {json.dumps(words)}")


def test_another_form_of_cloth_changes_the_verdict_and_what_is_short_comes_first(
    visit: Any, address: str
) -> None:
    guest = visit()
    page = guest.open(begin(address))
    guest.step("cutting")
    _verdict(guest, "Everything fits.")
    step = page.locator("cutting-step")
    assert "yd" in step.locator(".amounts").inner_text()

    # One fabric as a five-inch square: its 4 large squares alone do not fit.
    tile = step.get_by_role("button", name="Rosehip spray")
    tile.click()
    card = step.locator(".card:visible")
    assert "to spare" in card.inner_text()
    card.get_by_label("Comes as").select_option("five-inch square")
    _verdict(guest, "1 fabric is short.")
    first = step.locator(".cut-groups > section").first
    assert first.locator(".name").inner_text() == "Rosehip spray"
    assert first.locator("b").first.inner_text().startswith("Short by ")
    assert "no place for" in first.locator(".card").inner_text()

    # More pieces of it, then back to what the others are.
    card.get_by_label("Pieces of it").fill("20")
    card.get_by_label("Pieces of it").blur()
    _verdict(guest, "Everything fits.")
    card.get_by_role("button", name="Like the other fabrics").click()
    guest.until("document.querySelectorAll('.cut-groups > section').length === 2")

    # All fabrics at once; undo takes it back, and the table follows.
    step.get_by_label("The fabrics come as").select_option("ten-inch square")
    _verdict(guest, "18 fabrics are short.")
    page.click("#undo")
    _verdict(guest, "Everything fits.")


def test_the_drawing_shows_when_it_is_asked_for_with_its_cuts_and_care(
    visit: Any, address: str
) -> None:
    guest = visit(viewport={"width": 360, "height": 740}, has_touch=True)
    page = guest.open(begin(address))
    page.locator("#step-cutting > summary").tap()
    _verdict(guest, "Everything fits.")
    step = page.locator("cutting-step")
    assert not step.locator(".cut-drawing img").first.get_attribute("src")
    step.locator("button.tile").first.tap()
    drawn = "document.querySelector('.card:not([hidden]) .cut-drawing img')"
    guest.until(f"{drawn}.naturalWidth > 0")
    shape = page.evaluate(f"[{drawn}.naturalWidth / {drawn}.naturalHeight]")[0]
    # To scale: 20 1/2 x 17 1/2 in usable, with the drawing's margins of 3.2 and 2.4 in.
    assert abs(shape - (20.5 + 3.2) / (17.5 + 2.4)) < 0.02
    card = step.locator(".card:visible")
    assert "Cut 1 strip 4 3/4 in across the cloth" in card.inner_text()
    assert "rotary cutter" in card.inner_text()
    assert page.evaluate("document.documentElement.scrollWidth") == 360


def test_lengths_are_read_and_written_in_centimetres_in_metric_work(
    visit: Any, address: str
) -> None:
    guest = visit()
    page = guest.open(begin(address, units="metric"))
    guest.step("cutting")
    guest.until("document.querySelectorAll('cutting-step .tile').length > 0")
    step = page.locator("cutting-step")
    assert " cm" in step.locator(".cut-groups").inner_text()
    assert "yd" not in step.locator(".amounts").inner_text()
    seam = step.get_by_label("Seam allowance, cm")
    seam.fill("0,6")
    seam.blur()
    guest.saved()
    # Trade fact (derived): 6 mm seams on a 215.9 mm block give 334.3 mm, so 33.5 cm is cut.
    guest.until("document.querySelector('cutting-step .facts').textContent.includes('33.5 cm')")
    assert seam.input_value() == "0.6"
    page.get_by_text("Block sizes that suit a form of cloth").click()
    step.locator(".sizes li").first.wait_for()
    told = step.locator(".sizes").first.inner_text()
    assert " cm of height to spare" in told
    assert " in" not in told.replace(" in all", "")


def test_a_square_of_her_own_is_answered_with_what_it_does_to_the_points(
    visit: Any, address: str
) -> None:
    guest = visit()
    page = guest.open(begin(address))
    guest.step("cutting")
    _verdict(guest, "Everything fits.")
    own = page.get_by_label("My square for side triangles, inches")
    own.fill("13")
    own.press("Enter")
    # Worked case: 13 in squares blunt the points of 8 1/2 in blocks by 0.114 in.
    said = "document.querySelector('cutting-step').textContent"
    guest.until(f"{said}.includes('blunt the block points by 0.114 in')")
    assert "8 13/16 in unfinished" in page.locator("cutting-step").inner_text()
    own.fill("")
    own.press("Enter")
    guest.until(f"!{said}.includes('blunt')")


def test_lengths_are_typed_as_people_and_phones_write_them(visit: Any, address: str) -> None:
    guest = visit()
    plan = begin(address)
    page = guest.open(plan)
    guest.step("cutting")
    own = page.get_by_label("My square for side triangles, inches")
    for typed in ("13½", "13-1/2", '13.5"', "13,5", "13 1/2”"):
        own.fill("13")
        own.press("Enter")
        guest.saved()
        own.fill(typed)
        own.press("Enter")
        guest.saved()
        told = send(address, "GET", f"/api/plans/{plan}", None)["plan"]["brief"]["sewing"]
        assert told["side_square"] == "13 1/2", typed


def test_a_bed_and_a_block_size_chosen_from_the_tables_change_the_plan(
    visit: Any, address: str
) -> None:
    guest = visit(viewport={"width": 360, "height": 740})
    plan = begin(address)
    page = guest.open(plan)
    guest.step("cutting")
    _verdict(guest, "Everything fits.")
    page.get_by_text("This pattern for every bed").click()
    twin = page.get_by_role("button", name="Use Twin, fewer blocks")
    twin.click()
    guest.saved()
    setting = send(address, "GET", f"/api/plans/{plan}", None)["plan"]["brief"]["setting"]
    assert (setting["across"], setting["down"]) != (6, 7)
    # Guild chart: a twin with a drop of 12 in takes 63 x 87 in; the quilt covers that.
    size = send(address, "GET", f"/api/plans/{plan}", None)["size"]
    assert 63 <= size["width"] <= 76
    assert 87 <= size["height"] <= 100
    assert page.evaluate("document.documentElement.scrollWidth") == 360

    page.get_by_text("Block sizes that suit a form of cloth").click()
    first = page.locator(".sizes").first.get_by_role("button").first
    first.wait_for()
    first.click()
    guest.saved()
    brief = send(address, "GET", f"/api/plans/{plan}", None)["plan"]["brief"]
    assert brief["setting"]["block_size"] != setting["block_size"]


def test_forms_of_cloth_side_by_side_and_an_alternate_that_stays(visit: Any, address: str) -> None:
    guest = visit()
    page = guest.open(begin(address))
    guest.step("cutting")
    _verdict(guest, "Everything fits.")
    page.get_by_text("Other forms of cloth, side by side").click()
    guest.until("document.querySelectorAll('.forms input[type=checkbox]').length > 7")
    box = page.get_by_label("Half yard, 18 in x 42 in in the pattern")
    assert not box.is_checked()
    box.check()
    guest.until(
        "[...document.querySelectorAll('.forms input:checked')]"
        ".map(b => b.ariaLabel.split(',')[0]).join() === 'Half yard'"
    )
    page.get_by_role("button", name="Use Half yard, 18 in x 42 in", exact=True).click()
    guest.until("document.querySelector('cutting-step select').value === 'half yard'")


def test_the_aim_is_one_choice_and_both_are_told_in_one_line(visit: Any, address: str) -> None:
    guest = visit()
    page = guest.open(begin(address))
    guest.step("cutting")
    _verdict(guest, "Everything fits.")
    step = page.locator("cutting-step")
    choice = step.get_by_label("Aim of cutting")
    assert choice.input_value() == "9"
    said = "[...document.querySelectorAll('cutting-step p.quiet')].map((p) => p.textContent)"
    simple = f"{said}.find((words) => words.startsWith('Simplest: '))"
    least = f"{said}.find((words) => words.startsWith('Least cloth: '))"
    guest.until(simple)
    # The same two plans, told from the other side.
    one, other = page.evaluate(simple).removesuffix(".").split("; least cloth: ")
    choice.select_option("least")
    guest.until(least)
    assert choice.input_value() == "least"
    told = page.evaluate(least).removesuffix(".")
    assert one.removeprefix("Simplest: ") in told
    assert other.rsplit(", ", 1)[0] in told
    choice.select_option("4 1/2")
    guest.until(simple)
    assert choice.input_value() == "4 1/2"


def test_how_units_are_made_is_chosen_beside_what_each_way_does(visit: Any, address: str) -> None:
    guest = visit()
    page = guest.open(begin(address, block="sawtooth-star"))
    guest.step("cutting")
    _verdict(guest, "Everything fits.")
    step = page.locator("cutting-step")
    geese = step.get_by_label("Flying geese are made")
    assert geese.input_value() == "four at a time"
    assert not step.get_by_label("Half-square triangle units are made").count()
    step.get_by_text("What each way does to cloth and work").click()
    rows = step.locator("section:has(> h3:text('How units are made')) .forms > li")
    rows.nth(1).wait_for()
    assert "Flying geese: from a rectangle and two squares" in rows.nth(1).inner_text()
    assert "the corners cut off are waste" in rows.nth(1).inner_text()
    assert rows.first.inner_text().endswith("as now")
    rows.nth(1).get_by_role("button").click()
    guest.saved()
    guest.until("[...document.querySelectorAll('cutting-step select')]"
                ".some((one) => one.value === 'rectangle and squares')")  # fmt: skip
    page.click("#undo")
    guest.until("[...document.querySelectorAll('cutting-step select')]"
                ".some((one) => one.value === 'four at a time')")  # fmt: skip
