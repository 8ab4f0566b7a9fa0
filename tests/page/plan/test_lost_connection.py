"""When the server is out of reach nothing is lost: changes wait, and are made once."""

from __future__ import annotations

import io
from typing import Any

import pytest
from PIL import Image

TRYING = "Not saved: the program does not answer. Trying again"
STATUS = "document.querySelector('#status').textContent"


@pytest.fixture
def guest(visit: Any) -> Any:
    """Return a visitor of a sample of their own."""
    made = visit()
    made.open()
    made.saved()
    yield made
    # The browser itself reports each request that failed.
    made.said[:] = [words for words in made.said if "Failed to load resource" not in words]


def plan(guest: Any) -> Any:
    address = guest.page.url.replace("/#plan=", "/api/plans/")
    return guest.page.request.get(address).json()


def swap(guest: Any, first: int, second: int) -> None:
    for cell in (first, second):
        guest.page.locator(".quilt [data-cell]").nth(cell).focus()
        guest.page.keyboard.press("Enter")


def photo(colour: tuple[int, int, int]) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (64, 64), colour).save(out, "JPEG")
    return out.getvalue()


def test_changes_wait_until_the_server_is_back_and_are_made_in_order(guest: Any) -> None:
    before = plan(guest)
    guest.page.route("**/api/**", lambda route: route.abort())
    swap(guest, 0, 9)
    guest.until(f"{STATUS} === '{TRYING}'")
    swap(guest, 9, 20)
    guest.page.locator("#title").fill("Kept all the same")
    guest.page.keyboard.press("Tab")
    shown = guest.fabrics()
    assert plan(guest)["revision"] == before["revision"]
    guest.page.unroute("**/api/**")
    guest.saved()
    assert guest.fabrics() == shown
    after = plan(guest)
    old, new = (view["plan"]["layout"]["fabrics"] for view in (before, after))
    assert [new[cell] for cell in (0, 9, 20)] == [old[cell] for cell in (9, 20, 0)]
    assert after["plan"]["brief"]["title"] == "Kept all the same"
    assert after["revision"] == before["revision"] + 3


@pytest.mark.parametrize("heard", [0, 40])
def test_a_change_whose_answer_was_lost_is_not_made_twice(guest: Any, heard: int) -> None:
    before = plan(guest)

    def made_but_not_heard(route: Any) -> None:
        answer = route.fetch()
        if heard:
            # The answer breaks off in the middle of its body.
            route.fulfill(response=answer, body=answer.body()[:heard])
        else:
            route.abort()

    guest.page.route("**/layout/swap", made_but_not_heard, times=1)
    swap(guest, 3, 12)
    guest.until(f"{STATUS} === '{TRYING}'")
    guest.saved()
    after = plan(guest)
    assert after["revision"] == before["revision"] + 1
    old, new = (view["plan"]["layout"]["fabrics"] for view in (before, after))
    assert (new[3], new[12]) == (old[12], old[3])


def test_somebody_elses_change_is_not_taken_for_ones_own_that_went_lost(guest: Any) -> None:
    before = plan(guest)
    address = guest.page.url.replace("/#plan=", "/api/plans/")

    def overtaken(route: Any) -> None:
        # Never sent; in the meantime another window makes one change.
        guest.page.request.patch(f"{address}/brief", data={"title": "Theirs"})
        route.abort()

    guest.page.route("**/layout/swap", overtaken, times=1)
    swap(guest, 3, 12)
    guest.page.wait_for_selector("quilt-wall .errors >> text=changed in another window")
    guest.saved()
    after = plan(guest)
    assert after["revision"] == before["revision"] + 1
    assert after["plan"]["layout"] == before["plan"]["layout"]
    assert guest.page.locator("#title").input_value() == "Theirs"


def test_photos_go_on_when_the_server_is_back_and_none_is_added_twice(guest: Any) -> None:
    count = len(plan(guest)["plan"]["brief"]["swatches"])
    guest.step("fabrics")
    lost = iter((True, False))

    def now_and_then(route: Any) -> None:
        if next(lost, None):
            route.fetch()
        route.abort()

    guest.page.route("**/fabrics?*", now_and_then, times=2)
    files = [
        {"name": f"late {n}.jpg", "mimeType": "image/jpeg", "buffer": photo((40 * n, 90, 200))}
        for n in range(3)
    ]
    guest.page.locator("fabrics-step input[type=file][multiple]").first.set_input_files(files)
    guest.until(f"document.querySelectorAll('fabrics-step .tile').length === {count + 3}")
    guest.saved()
    assert len(plan(guest)["plan"]["brief"]["swatches"]) == count + 3
