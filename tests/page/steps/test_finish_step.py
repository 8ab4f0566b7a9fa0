"""Finishing: borders, binding, backing and thread, by finger on a phone and at a desk."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from tests.page.server import begin, seen

if TYPE_CHECKING:
    from pathlib import Path

PHONE = {"width": 360, "height": 740}


def _drawn_in(page: Any, fabric: str) -> int:
    """Count the pieces on the wall that are drawn in a fabric."""
    return int(page.locator(f'quilt-wall .quilt [fill$="-{fabric})"]').count())


def test_the_edges_are_chosen_by_finger_and_seen_on_the_quilt(visit: Any, address: str) -> None:
    plan = begin(address)
    guest = visit(viewport=PHONE, has_touch=True)
    page = guest.open(plan)
    guest.step("finish")
    step = page.locator("finish-step")
    before = seen(address, plan)
    bands = len(before["plan"]["brief"]["borders"])

    step.get_by_role("button", name="Add a border").tap()
    guest.until(f"document.querySelectorAll('.borders > .edge').length === {bands + 1}")
    width = step.locator(".borders").get_by_label("Width").last
    width.fill("3")
    width.blur()
    guest.saved()
    wider = seen(address, plan)
    # Three inches of border on either side: the quilt is six inches wider.
    assert wider["size"]["width"] == pytest.approx(before["size"]["width"] + 6)

    ink = before["plan"]["brief"]["backgrounds"][2]["fabric"]
    assert _drawn_in(page, ink["id"]) == 0
    step.locator(".borders .cloth-button").last.tap()
    step.locator(".borders .palette").last.get_by_role("button", name=ink["name"]).tap()
    guest.saved()
    pieces = [p for p in seen(address, plan)["around"] if p["fabric"] == ink["id"]]
    assert {p["part"] for p in pieces} == {"border"}
    assert _drawn_in(page, ink["id"]) == len(pieces)

    step.get_by_role("button", name="Binding ").tap()
    mist = before["plan"]["brief"]["backgrounds"][1]["fabric"]
    palette = step.get_by_role("group", name="Cloth for binding")
    palette.get_by_role("button", name=mist["name"]).tap()
    guest.saved()
    assert _drawn_in(page, mist["id"]) > 0
    step.get_by_label("Cut on the bias").tap()
    guest.saved()
    step.get_by_role("button", name="Backing ").tap()
    backing = before["plan"]["choice"]["kept"][0]
    name = next(
        s["fabric"]["name"]
        for s in before["plan"]["brief"]["swatches"]
        if s["fabric"]["id"] == backing
    )
    step.get_by_role("group", name="Cloth for backing").get_by_role("button", name=name).tap()
    guest.saved()
    brief = seen(address, plan)["plan"]["brief"]
    assert brief["borders"][-1] == {"width": "3", "fabric": ink["id"]}
    assert brief["binding_fabric"] == mist["id"]
    assert brief["backing_fabric"] == backing
    assert brief["sewing"]["grain"] == "bias"

    page.reload()
    page.wait_for_selector("[data-cell]")
    guest.step("finish")
    assert width.input_value() == "3"
    step.get_by_role("button", name="Remove border").last.tap()
    guest.saved()
    assert seen(address, plan)["size"] == before["size"]
    assert page.evaluate("document.documentElement.scrollWidth") == PHONE["width"]


def test_a_new_photo_serves_for_a_border_and_the_blocks_stay(
    visit: Any, address: str, demo_photos: tuple[Path, ...]
) -> None:
    plan = begin(address)
    guest = visit()
    page = guest.open(plan)
    laid = guest.fabrics()
    guest.step("finish")
    page.locator(".borders .cloth-button").first.click()
    page.locator(".borders .palette input[multiple]").first.set_input_files(demo_photos[0])
    guest.until("document.querySelector('.borders .palette [aria-pressed=true] img') !== null")
    guest.saved()
    brief = seen(address, plan)["plan"]["brief"]
    assert brief["borders"][0]["fabric"] == brief["swatches"][-1]["fabric"]["id"]
    assert guest.fabrics() == laid


def test_threads_are_judged_over_every_fabric_and_chosen(visit: Any, address: str) -> None:
    plan = begin(address)
    guest = visit()
    page = guest.open(plan)
    guest.step("finish")
    step = page.locator("finish-step")
    threads = step.locator(".thread")
    picks = step.locator(".thread .pick").all_inner_texts()
    assert sum("calm pick" in text for text in picks) == 1
    assert sum("showy pick" in text for text in picks) == 1
    few = threads.count()
    step.get_by_role("button", name="More threads").click()
    assert threads.count() > few

    # A thread of a plain fabric's very colour vanishes on it, whatever scale it is judged by.
    view = seen(address, plan)
    fabric = "rosehip-solid"
    assert fabric in view["plan"]["choice"]["kept"]
    typed = step.get_by_label("Type the thread's colour")
    typed.fill(view["colours"][fabric])
    typed.press("Enter")
    guest.until(f"document.querySelectorAll('.thread').length > {threads.count()}")
    guest.saved()
    own = next(thread for thread in seen(address, plan)["threads"] if thread["own"])
    assert fabric in own["vanishes"]

    judged = [*own["shows"], *own["soft"], *own["vanishes"]]
    assert sorted(judged) == sorted({*view["plan"]["choice"]["kept"], view["plan"]["background"]})
    assert step.locator(".columns span").count() == len(judged)
    row = threads.filter(has_text=own["name"]).first
    names = {
        s["fabric"]["id"]: s["fabric"]["name"]
        for s in (*view["plan"]["brief"]["swatches"], *view["plan"]["brief"]["backgrounds"])
    }
    told = row.locator(".hidden").text_content()
    for name in own["vanishes"]:
        assert names[name] in told.split("Vanishes on")[1]
    row.locator("label").click()
    guest.saved()
    assert seen(address, plan)["plan"]["brief"]["thread"] == own["id"]
    step.get_by_role("button", name=f"Remove {own['name']}").click()
    guest.saved()
    assert seen(address, plan)["plan"]["brief"]["thread"] == ""
