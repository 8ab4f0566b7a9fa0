"""From 'Start with my fabrics' to the printed pattern, by mouse, by keyboard, by touch."""

from __future__ import annotations

import io
import json
import signal
import urllib.request
import xml.etree.ElementTree as ET
import zipfile
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pikepdf
import pytest
from PIL import Image

if TYPE_CHECKING:
    from collections.abc import Callable

OWN = Path(__file__).resolve().parents[4] / "shared" / "fabrics"
"""Photos of real cloth, where the checkout lies beside them."""
TRYING = "document.querySelector('#status').textContent.startsWith('Not saved')"


@pytest.fixture
def photos(demo_photos: tuple[Path, ...]) -> dict[str, tuple[list[Path], Path]]:
    """Return eight fabrics and a background: of the sample, and real ones where present."""
    grounds = [path for path in demo_photos if path.stem.startswith("background")]
    fabrics = [path for path in demo_photos if path not in grounds]
    sample = (fabrics[::4][:8], grounds[0])
    own = (sorted(OWN.glob("cloth_*.png"))[::5][:8], OWN / "scan_linen.jpg")
    return {"sample": sample, "own": own if len(own[0]) == 8 else sample}


@pytest.fixture
def broken(tmp_path: Path) -> Path:
    """Return a file that calls itself a photo."""
    path = tmp_path / "broken.jpg"
    path.write_bytes(b"this is no photo")
    return path


class Job:
    """The steps of the job, each checked on the server or in what is taken away."""

    def __init__(self, hand: Any) -> None:
        self.hand = hand
        self.guest = hand.guest
        self.page = hand.page

    def get(self, path: str = "") -> Any:
        """Ask the program about the plan that is open."""
        plan = self.page.url.split("#plan=")[1]
        address = f"{self.guest.address}/api/plans/{plan}{path}"
        with urllib.request.urlopen(address, timeout=60) as answer:
            return json.load(answer)

    @property
    def brief(self) -> Any:
        """What is decided so far."""
        return self.get()["plan"]["brief"]

    def button(self, name: str, **more: Any) -> Any:
        """Find a button by its words."""
        return self.page.get_by_role("button", name=name, **more)

    def step(self, name: str) -> Any:
        """Open a step, unless it is open; return it."""
        step = self.page.locator(f"#step-{name}")
        if step.get_attribute("open") is None:
            self.hand.press(step.locator("> summary"))
        self.guest.until(f"document.querySelector('{name}-step').matches(':defined')")
        return step

    def onward(self, step: str) -> None:
        """Press what leads on from a step."""
        self.hand.press(self.page.locator(f"{step}-step .onward button:visible").last)

    def bring(self, files: list[Path], broken: Path) -> None:
        """Add photos, one of them broken, while the connection is lost and comes back."""
        lost = True
        passed: list[str] = []

        def sometimes(route: Any) -> None:
            uploads = "/fabrics?" in route.request.url
            if lost and (len(passed) >= 1 or not uploads):
                route.abort()
                return
            passed.extend([route.request.url] if uploads else [])
            route.continue_()

        self.page.route("**/api/**", sometimes)
        chooser = self.page.get_by_label("Add photos")
        self.hand.give(chooser, [*files[:3], broken, *files[3:]])
        self.guest.until(
            "document.querySelector('fabrics-step .count').innerText.startsWith('No connection')"
        )
        assert len(self.brief["swatches"]) == 2, "what had arrived is there"
        lost = False
        self.guest.until(
            f"document.querySelectorAll('fabrics-step button.tile').length === {len(files)}"
        )
        self.page.locator(".broken li").wait_for()
        assert "broken.jpg" in self.page.locator(".broken li").inner_text()
        self.hand.press(self.button("Dismiss"))
        assert self.page.locator(".broken li").count() == 0
        self.page.unroute("**/api/**")
        assert [s["fabric"]["name"] for s in self.brief["swatches"]] == [
            tile.locator(".name").inner_text()
            for tile in self.page.locator("fabrics-step button.tile").all()
        ]
        assert len(self.brief["swatches"]) == len(files), "nothing is lost, nothing twice"
        self.told_of_failures()

    def told_of_failures(self) -> None:
        """Check that the console notes failed requests and nothing else."""
        assert all(words.startswith("Failed to load resource") for words in self.guest.said)
        self.guest.said.clear()

    def choose_ground(self, photo: Path) -> None:
        """Add a background by photo and one by its colour; choose the photo, then the colour."""
        step = self.page.locator("background-step")
        cards = step.locator(".candidate")
        self.hand.give(step.get_by_label("Add a background"), [photo])
        cards.first.wait_for()
        self.hand.write(step.get_by_label("Type a colour of your own"), "#f3ead7")
        self.hand.press(step.get_by_role("button", name="Add", exact=True))
        cards.nth(1).wait_for()
        for card in (1, 0):
            self.hand.choose(cards.nth(card).locator("input[type=radio]"))
            self.guest.saved()
            view = self.get()
            chosen = view["plan"]["brief"]["backgrounds"][card]["fabric"]["id"]
            assert view["plan"]["background"] == chosen
        assert view["colours"][view["plan"]["brief"]["backgrounds"][1]["fabric"]["id"]] == "#f3ead7"

    def choose_fabrics(self, count: int) -> None:
        """Say how many fabrics, then use one in place of another."""
        step = self.page.locator("picks-step")
        self.hand.slide(step.locator("input[type=range]"), count)
        self.guest.saved()
        before = self.get()["plan"]["choice"]["kept"]
        assert len(before) == count
        tile = step.locator(".mosaic > .tile").first
        out = tile.get_attribute("aria-label")
        self.hand.press(tile)
        self.hand.press(step.locator(".card .swap").first)
        self.guest.until("document.querySelector('picks-step').innerText.includes('in place of')")
        view = self.get()
        names = {s["fabric"]["id"]: s["fabric"]["name"] for s in view["plan"]["brief"]["swatches"]}
        kept = [names[fabric] for fabric in view["plan"]["choice"]["kept"]]
        assert out not in kept
        assert len(kept) == count

    def choose_setting(self) -> None:
        """Three by three on point, with sashing and cornerstones."""
        step = self.page.locator("setting-step")
        self.hand.choose(step.get_by_label("On point"))
        for label, text in (("Blocks across", "3"), ("Blocks down", "3")):
            self.hand.write(step.get_by_label(label), text)
        self.hand.write(step.get_by_label("Sashing, finished width"), "1 1/4")
        self.guest.saved()
        self.hand.press(step.get_by_label("Cornerstones", exact=True))
        self.guest.saved()
        view = self.get()
        setting = view["plan"]["brief"]["setting"]
        assert (setting["kind"], setting["across"], setting["down"]) == ("on point", 3, 3)
        assert (setting["sashing"], setting["cornerstones"]) == ("1 1/4", True)

    def arrange(self) -> list[str]:
        """Lay the blocks out; return what lies where."""
        step = self.page.locator("layout-step")
        step.get_by_role("button", name="Arrange again").wait_for()
        self.guest.saved()
        fabrics = self.guest.fabrics()
        assert len(fabrics) == 13  # on point: 3 x 3 + 2 x 2
        assert {part["part"] for part in self.get()["around"]} >= {"sashing", "cornerstone"}
        return list(fabrics)

    def move_blocks(self, before: list[str], program: Any) -> None:
        """Lift and place; undo it although the program was away; redo after a reload; lock."""
        other = next(i for i in range(5, len(before)) if before[i] != before[0])
        after = list(before)
        after[0], after[other] = after[other], after[0]
        self.hand.swap(0, other)
        assert self.guest.fabrics() == after
        self.guest.saved()

        program.stop(signal.SIGKILL)
        self.hand.press(self.button("Undo"))
        self.guest.until(TRYING)
        program.start()
        self.guest.saved()
        assert self.guest.fabrics() == before
        self.told_of_failures()

        self.page.reload()
        self.page.wait_for_selector("[data-cell]")
        self.guest.until("document.querySelector('#status').textContent !== ''")
        assert self.guest.fabrics() == before
        self.hand.press(self.button("Redo"))
        self.guest.until("document.querySelector('#redo').disabled")
        assert self.guest.fabrics() == after

        self.hand.lock(other)
        self.page.locator(".lock").wait_for()
        self.guest.saved()
        assert self.get()["plan"]["layout"]["pinned"] == [other]

    def see_neighbours(self) -> None:
        """Have neighbours marked that look alike."""
        step = self.step("layout")
        self.hand.press(step.get_by_label("Mark neighbours that look alike"))
        every = self.get("/layout/near?most=99")
        near = [p for p in every if p["touch"] == "edge" and p["difference"] < 20]
        self.guest.until(
            f"document.querySelectorAll('quilt-wall .link').length === {len(near)}"
            " && document.querySelector('layout-step .swaps').innerText !== ''"
        )
        told = step.locator(".swaps").first.inner_text()
        assert all(pair["sentence"] in told for pair in near) if near else "No neighb" in told

    def keep_a_copy(self) -> None:
        """Keep a copy and see both side by side."""
        step = self.step("layout")
        self.hand.press(step.get_by_role("button", name="Keep a copy to compare"))
        self.hand.press(self.button("See them side by side"))
        drawn = (
            "[...document.querySelectorAll('.variants img')].filter((i) => i.naturalWidth).length"
        )
        self.guest.until(f"{drawn} === 2")
        assert [each["current"] for each in self.get("/variants")].count(True) == 1

    def finish(self) -> None:
        """Add a border, choose its width and cloth, a binding and a thread."""
        step = self.step("finish")
        before = self.brief["borders"]
        self.hand.press(step.get_by_role("button", name="Add a border"))
        border = step.get_by_role("group", name=f"Border {len(before) + 1}")
        self.hand.write(border.get_by_label("Width"), "3")
        self.guest.saved()
        names = {s["fabric"]["id"]: s["fabric"]["name"] for s in self.brief["swatches"]}
        first, second = self.get()["plan"]["choice"]["kept"][:2]
        self.hand.press(border.get_by_role("button", name="Border").first)
        palette = border.get_by_role("group", name="Cloth for border")
        self.hand.press(palette.get_by_role("button", name=names[first], exact=True))
        self.guest.saved()
        self.hand.press(step.get_by_role("button", name="Binding"))
        palette = step.get_by_role("group", name="Cloth for binding")
        self.hand.press(palette.get_by_role("button", name=names[second], exact=True))
        self.guest.saved()
        threads = step.get_by_role("radiogroup", name="Thread")
        self.hand.choose(threads.locator("input[type=radio]").nth(1))
        self.guest.saved()
        view = self.get()
        brief = view["plan"]["brief"]
        assert brief["borders"] == [*before, {"width": "3", "fabric": first}]
        assert brief["binding_fabric"] == second
        chosen = next(thread for thread in view["threads"] if thread["id"] == brief["thread"])
        assert (
            step.locator(".thread", has=self.page.locator("input:checked"))
            .inner_text()
            .startswith(chosen["name"])
        )
        assert {part["part"] for part in view["around"]} >= {"border", "binding"}

    def read_cutting(self) -> None:
        """Read what is to be cut."""
        step = self.step("cutting")
        table = self.get("/cutting/table")
        self.guest.until("document.querySelector('cutting-step .amounts').innerText !== ''")
        assert table["verdict"] in step.inner_text()
        for amount in table["amounts"]:
            assert amount["what"].lower() in step.locator(".amounts").inner_text().lower()
        tile = step.locator(".cut-groups .tile").first
        self.hand.press(tile)
        card = step.locator(".card:visible")
        assert card.locator(".cuts li").count() > 0
        self.guest.until(
            "document.querySelector('cutting-step .card:not([hidden]) img').naturalWidth > 0"
        )

    def take_away(self) -> None:
        """Take every form of the plan away and check that it is what it says."""
        step = self.step("keep")
        title = self.brief["title"]

        def link(words: str) -> Any:
            return step.get_by_role("link", name=words)

        with Image.open(self.hand.take(link("Picture of the quilt"))) as picture:
            picture.load()
            assert picture.format == "PNG"
            size = self.get()["size"]
            shape = picture.width / picture.height
            assert shape == pytest.approx(size["width"] / size["height"], rel=0.02)
        drawing = ET.fromstring(self.hand.take(link("Drawing of the quilt")).read_text("utf-8"))
        assert drawing.tag == "{http://www.w3.org/2000/svg}svg"
        assert len(list(drawing.iter())) > 13
        cuts = self.hand.take(link("What to cut")).read_text("utf-8")
        assert "Cut " in cuts
        self._print(link("Pattern as PDF"))
        file = self.hand.take(link("The plan with its photos"))
        with zipfile.ZipFile(file) as packed:
            assert packed.testzip() is None
            kept = json.loads(packed.read("plan.json"))
        assert kept["brief"]["title"] == title
        self._open_again(file, title)

    def _print(self, link: Any) -> None:
        with self.page.context.expect_page() as opened:
            self.hand.press(link)
        opened.value.close()
        body = self.page.request.get(self.guest.address + link.get_attribute("href")).body()
        with pikepdf.open(io.BytesIO(body)) as pattern:
            assert len(pattern.pages) >= 4
            assert pattern.Root.MarkInfo.Marked, "a tagged file, for those who hear it"

    def _open_again(self, file: Path, title: str) -> None:
        before, address = self.guest.fabrics(), self.page.url
        brief = self.brief
        packed = file.with_suffix(".zip")
        file.rename(packed)
        self.hand.give(self.page.get_by_label("Open a plan from a file"), [packed])
        self.guest.until(f"location.href !== {json.dumps(address)}")
        self.guest.saved()
        assert self.page.input_value("#title") == title
        assert self.guest.fabrics() == before
        again = self.brief
        for part in ("setting", "borders", "count"):
            assert again[part] == brief[part]


@pytest.mark.parametrize(
    ("means", "bundle"), [("mouse", "own"), ("keyboard", "sample"), ("touch", "own")]
)
def test_the_whole_job_from_photos_to_the_printed_pattern(
    hand: Callable[[str], Any],
    program: Any,
    photos: dict[str, tuple[list[Path], Path]],
    broken: Path,
    means: str,
    bundle: str,
) -> None:
    fabrics, ground = photos[bundle]
    job = Job(hand(means))
    job.guest.open()
    job.hand.press(job.button("Start with my fabrics"))
    job.page.wait_for_selector("#step-fabrics[open]")
    job.bring(fabrics, broken)
    job.onward("fabrics")
    job.choose_ground(ground)
    job.onward("background")
    job.choose_fabrics(5)
    job.onward("picks")
    job.choose_setting()
    job.onward("setting")
    job.move_blocks(job.arrange(), program)
    job.see_neighbours()
    job.finish()
    job.read_cutting()
    job.keep_a_copy()
    job.take_away()
    seen = set(job.page.evaluate("sessionStorage.getItem('seen')").split())
    assert seen <= job.hand.means
    assert means[:3] in {kind[:3] for kind in seen}
