"""Copies of a plan side by side, states gone back to, neighbours marked: changing one's mind."""

from __future__ import annotations

from typing import Any

from tests.page.server import begin, seen


def _cards(page: Any) -> list[str]:
    return [box.input_value() for box in page.locator(".variants > li textarea").all()]


def _card(page: Any, title: str) -> Any:
    at = _cards(page).index(title)
    return page.locator(".variants > li").nth(at)


def test_a_copy_is_kept_compared_recoloured_renamed_and_deleted(visit: Any, own: str) -> None:
    guest = visit()
    page = guest.open(own)
    before = guest.fabrics()
    guest.step("layout")
    page.click("layout-step >> text=Keep a copy to compare")
    page.click("layout-step >> text=See them side by side")
    page.wait_for_selector(".variants > li >> nth=1")
    guest.until(
        "[...document.querySelectorAll('.variants img[src]')].every((i) => i.naturalWidth > 100)"
    )
    copy = next(title for title in _cards(page) if title.startswith("Meadow "))

    name = _card(page, copy).locator("textarea")
    name.fill("Meadow at dusk")
    name.press("Enter")
    guest.until(
        "[...document.querySelectorAll('.variants textarea')].some((t) => /dusk/.test(t.value))"
    )

    page.click("text=See them large")
    assert page.locator("dialog.large .variants > li").count() == len(_cards(page))
    page.click("dialog >> text=Close")
    guest.until("!document.querySelector('dialog .variants')")

    page.click(".swatch-buttons >> text=On Ink")
    guest.until(f"!location.hash.includes('{own}')")
    guest.until("document.querySelector('#step-background .gist').textContent.includes('Ink')")
    guest.saved()
    coloured = page.input_value("#title")
    names = "[...document.querySelectorAll('.variants textarea')].map((t) => t.value)"
    guest.until(f"{names}.includes('{coloured}')")
    told = "[...document.querySelectorAll('.variants > li')].map((card) => card.innerText)"
    guest.until(f"""{told}.some((text) => text.includes("on 'Ink'"))""")
    assert "on 'Ink'" in _card(page, coloured).inner_text()

    _card(page, "Meadow").get_by_role("button", name="Open").click()
    guest.until(f"location.hash.includes('{own}')")
    guest.until("document.querySelector('#title').value === 'Meadow'")
    assert guest.fabrics() == before, "the plan that was copied is as it was"

    page.reload()
    page.wait_for_selector("[data-cell]")
    guest.step("variants")
    page.wait_for_selector(".variants > li >> nth=2")
    _card(page, "Meadow at dusk").get_by_role("button", name="Delete").click()
    page.click(".sure >> text=Keep")
    assert "Meadow at dusk" in _cards(page)
    _card(page, "Meadow at dusk").get_by_role("button", name="Delete").click()
    _card(page, "Meadow at dusk").get_by_role("button", name="Delete").click()
    guest.until(
        "![...document.querySelectorAll('.variants textarea')].some((t) => /dusk/.test(t.value))"
    )


def test_the_same_pattern_is_begun_with_another_bundle(visit: Any, own: str) -> None:
    guest = visit(viewport={"width": 360, "height": 740}, has_touch=True)
    page = guest.open(own)
    size = page.locator("#size").text_content()
    guest.step("variants")
    page.get_by_role("button", name="The same pattern with another bundle").tap()
    guest.until(f"!location.hash.includes('{own}')")
    page.wait_for_selector("#step-fabrics[open]")
    assert page.locator("button.tile").count() == 0
    assert page.locator("#size").text_content() == size
    guest.step("variants")
    page.wait_for_selector("variants-step.lacking .need button")
    page.locator("variants-step .need button").tap()
    page.wait_for_selector("#step-fabrics[open]")


def test_any_earlier_state_can_be_gone_to(visit: Any, own: str) -> None:
    guest = visit()
    page = guest.open(own)
    first = guest.fabrics()
    guest.step("layout")
    page.click("layout-step >> text=What was done")
    for pair in ((0, 30), (5, 41)):
        page.evaluate(
            f"import('/app.js').then(({{ workspace }}) => workspace.swap({pair[0]}, {pair[1]}))"
        )
        guest.saved()
    last = guest.fabrics()
    guest.until("document.querySelectorAll('.changes li').length === 3")
    page.locator(".changes button").last.click()
    guest.until("document.querySelectorAll('.changes .undone').length === 2")
    assert guest.fabrics() == first
    page.reload()
    page.wait_for_selector("[data-cell]")
    guest.step("layout")
    page.click("layout-step >> text=What was done")
    page.locator(".changes button").first.click()
    guest.until("document.querySelectorAll('.changes .undone').length === 0")
    assert guest.fabrics() == last


def test_neighbours_that_look_alike_are_marked_on_request(visit: Any, address: str) -> None:
    own = begin(address, limits={"clear": 35.0})
    guest = visit()
    page = guest.open(own)
    guest.step("layout")
    assert page.locator(".marks .link").count() == 0
    page.check("text=Mark neighbours that look alike")
    page.wait_for_selector(".marks .link")
    told = page.evaluate(f"fetch('/api/plans/{own}/layout/near?most=99').then((r) => r.json())")
    alike = [pair for pair in told if pair["touch"] == "edge" and pair["difference"] < 35]
    assert page.locator(".marks .link").count() == len(alike)
    page.locator("layout-step button.beside").first.hover()
    assert page.locator(".ring.shown").count() == 2
    page.uncheck("text=Mark neighbours that look alike")
    guest.until("!document.querySelector('.marks .link')")


def test_after_arranging_the_page_looks_further_once_and_worsens_nothing(
    visit: Any, address: str
) -> None:
    plan = begin(address)
    guest = visit()
    guest.page.clock.install()
    page = guest.open(plan)
    guest.step("layout")
    asked: list[str] = []
    page.on("request", lambda sent: asked.append(sent.url))

    def looks() -> int:
        return sum(url.endswith("/layout/further") for url in asked)

    arranged = "import('/app.js').then(({ workspace }) => workspace.arrange())"
    with page.expect_response(lambda answer: answer.url.endswith("/layout/further")):
        page.evaluate(arranged)
        first = seen(address, plan)["plan"]["quality"]
        assert looks() == 0
        page.clock.fast_forward(60_000)  # it waits until nothing is done
    guest.at_rest()
    after = seen(address, plan)["plan"]["quality"]
    assert after["reach"] >= first["reach"]
    assert after["closest"] >= min(first["closest"], first["wanted"]) - 1e-9
    page.clock.fast_forward(60_000)
    guest.at_rest()
    assert looks() == 1
