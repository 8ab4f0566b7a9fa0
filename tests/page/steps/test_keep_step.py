"""What is taken away: files, the pattern with the designer's words, paper, and whole plans."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from tests.page.server import send


def test_the_pattern_takes_paper_ink_and_the_designers_words(visit: Any, own: str) -> None:
    guest = visit()
    page = guest.open(own)
    guest.step("keep")
    page.get_by_label("A4").check()
    page.get_by_label("Black only").check()
    page.click("text=Your own words in it")
    page.get_by_label("Designer").fill("Ada Fold")
    page.get_by_label("Introduction").fill("For the long evenings.")
    page.get_by_label("Introduction").blur()
    address = page.locator("keep-step a[href*='booklet.pdf']").get_attribute("href")
    pdf = PdfReader(io.BytesIO(page.request.get(guest.address + address).body()))
    # ISO 216: A4 is 210 x 297 mm; a point is 1/72 inch.
    sides = [float(side) * 25.4 / 72 for side in pdf.pages[0].mediabox[2:]]
    assert sides == pytest.approx([210, 297], abs=0.5)
    words = " ".join(page.extract_text() for page in pdf.pages)
    assert "Ada Fold" in words
    assert "For the long evenings." in words


def test_a_plan_goes_into_a_file_and_comes_back_from_it(
    visit: Any, address: str, sample: str
) -> None:
    own = send(address, "POST", "/api/plans", {"copy_of": sample, "title": "Lamp"})["id"]
    send(address, "PATCH", f"/api/plans/{own}/brief", {"title": "Lighthouse"})
    guest = visit()
    page = guest.open(own)
    before = guest.fabrics()
    guest.step("keep")
    with page.expect_download() as download:
        page.click("keep-step >> text=The same with all its changes")
    file = Path(download.value.path()).read_bytes()

    guest.at_rest()  # pictures of a plan that is gone would not be found
    line = page.locator(".plans li", has=page.locator("[aria-current]"))
    line.get_by_role("button", name="Delete").click()
    line.get_by_role("button", name="Delete").click()
    guest.until(f"!location.hash.includes('{own}') && location.hash.includes('plan=')")
    guest.until("document.querySelector('#title').value !== 'Lighthouse'")
    shown = page.url

    given = {"name": "lighthouse.zip", "mimeType": "application/zip", "buffer": file}
    page.set_input_files("keep-step input[type=file]", given)
    guest.until("document.querySelector('#title').value === 'Lighthouse'")
    assert page.url != shown
    assert guest.fabrics() == before
    page.get_by_role("button", name="Undo").click()
    guest.until("document.querySelector('#title').value === 'Lamp'")

    page.evaluate(
        """(bytes) => {
          const carried = new DataTransfer();
          carried.items.add(new File([new Uint8Array(bytes)], 'broken.zip'));
          const drop = { dataTransfer: carried, bubbles: true, cancelable: true };
          document.querySelector('.stage').dispatchEvent(new DragEvent('drop', drop));
        }""",
        list(file[:200]),
    )
    page.wait_for_selector("#errors p")
    assert all("422" in words for words in guest.said), guest.said
    guest.said.clear()  # the browser notes the server's refusal of the broken file


def test_a_link_shows_the_plan_until_it_is_taken_back(visit: Any, own: str) -> None:
    # On plain http over a local network there is no clipboard (W3C Secure Contexts).
    guest = visit()
    guest.context.add_init_script("Object.defineProperty(navigator, 'clipboard', {value: null})")
    page = guest.open(own)
    guest.step("keep")
    page.click("keep-step >> text=Make a link")
    field = page.get_by_label("Link to look at this plan")
    field.wait_for()
    page.click("keep-step >> text=Copy it")
    assert page.evaluate("getSelection().toString()") == field.input_value()
    seen = page.request.get(field.input_value())
    assert seen.ok
    assert "Meadow" in seen.text()
    # Whoever comes back finds the link, not an offer to make one.
    page.reload()
    guest.step("keep")
    field.wait_for()
    assert field.input_value() == seen.url
    assert not page.get_by_role("button", name="Make a link").is_visible()
    page.click("keep-step >> text=Take it back")
    page.wait_for_selector("text=The link leads nowhere now.")
    page.reload()
    guest.step("keep")
    page.get_by_role("button", name="Make a link").wait_for()
    assert page.request.get(seen.url).status == 404


def test_the_page_prints_the_quilt_its_size_and_its_fabrics(visit: Any, own: str) -> None:
    guest = visit()
    page = guest.open(own)
    guest.at_rest()
    pdf = PdfReader(io.BytesIO(page.pdf(format="A4", prefer_css_page_size=False)))
    assert len(pdf.pages) <= 2
    words = " ".join(" ".join(page.extract_text() for page in pdf.pages).split())
    assert "80 1/8 in x 92 1/8 in" in words
    view = page.evaluate(f"fetch('/api/plans/{own}').then((r) => r.json())")
    names = {s["fabric"]["id"]: s["fabric"]["name"] for s in view["plan"]["brief"]["swatches"]}
    for fabric in set(view["plan"]["layout"]["fabrics"]):
        assert names[fabric] in words
    assert "Start with my fabrics" not in words
    assert "Undo" not in words


def test_no_step_of_an_empty_plan_is_an_empty_screen(visit: Any, address: str) -> None:
    guest = visit(viewport={"width": 360, "height": 740}, has_touch=True)
    page = guest.open(send(address, "POST", "/api/plans", {"title": "Nothing yet"})["id"])
    names = page.eval_on_selector_all(".steps > details", "all => all.map((d) => d.id.slice(5))")
    assert len(names) >= 8
    for name in names:
        guest.step(name)
        guest.at_rest()
        step = page.locator(f"#step-{name}")
        assert len(step.locator("> :not(summary)").inner_text().split()) >= 4, name
        assert step.locator("button:visible, label.button:visible").count() >= 1, name
