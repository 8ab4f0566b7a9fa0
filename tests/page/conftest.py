"""The real program in a child process, and the page in a real browser."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import threading
import time
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from tests.page.server import begin
from tests.profiles import colour_science, display_p3, make_profile

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

__all__ = ["colour_science", "display_p3", "make_profile"]

REPOSITORY = Path(__file__).resolve().parent.parent.parent
CHROMIUM = Path("/usr/bin/chromium")
FLAGS = [
    "--no-sandbox",
    "--disable-quic",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
]
PATIENCE = 60
FONTS = Path(os.environ.get("TRUETYPE_FONTS", "/usr/share/fonts/truetype"))
"""Where sets of fonts lie: Debian's fonts-dejavu-core in dejavu, fonts-noto-core in noto."""


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class Program:
    """The program with a database of its own, which it finds again after a stop."""

    def __init__(self, folder: Path) -> None:
        port = _free_port()
        self.address = f"http://127.0.0.1:{port}"
        data = folder / "plans.sqlite3"
        self._command = [sys.executable, "-m", "api.cli", "--no-open", "--port", str(port)]
        self._command += ["--data", str(data)]
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Start it and wait until it says where it is: it hears whoever calls from then on."""
        self._process = subprocess.Popen(self._command, cwd=REPOSITORY, stdout=subprocess.PIPE)
        assert self._process.stdout
        late = threading.Timer(PATIENCE, self._process.kill)
        late.start()
        said = self._process.stdout.readline()
        late.cancel()
        if self.address.encode() not in said:
            self.stop()
            pytest.fail(f"the program did not come up at {self.address}, it said {said!r}")

    def stop(self, how: signal.Signals = signal.SIGTERM) -> None:
        """End it and wait until it is gone."""
        if self._process:
            self._process.send_signal(how)
            self._process.communicate(timeout=PATIENCE)
        self._process = None


@pytest.fixture(scope="session")
def program(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    """Run a program that a test may stop and start again."""
    program = Program(tmp_path_factory.mktemp("stopped"))
    program.start()
    yield program
    program.stop()


@pytest.fixture(scope="session")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Serve the program; return its address."""
    program = Program(tmp_path_factory.mktemp("page"))
    program.start()
    yield program.address
    program.stop()


def _font_file(folder: Path, fonts: str) -> Path:
    """Write what makes fontconfig know one set of fonts alone; return the file."""
    file = folder / "fonts.conf"
    dirs = f"<dir>{FONTS / fonts}</dir><cachedir>{folder}/cache</cachedir>"
    file.write_text(f"<fontconfig>{dirs}</fontconfig>", encoding="utf-8")
    return file


@pytest.fixture(scope="session")
def browser_with(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Callable[[str], Any]]:
    """Return a way to start Chromium with one set of fonts; '' means all that are there."""
    if not CHROMIUM.exists():
        pytest.skip(f"no browser: {CHROMIUM} is missing; install Debian's package 'chromium'")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:

        @cache
        def start(fonts: str) -> Any:
            env: dict[str, str | float | bool] = dict(os.environ)
            if fonts:
                if not (FONTS / fonts).exists():
                    pytest.skip(f"no such fonts: install Debian's package for {FONTS / fonts}")
                env["FONTCONFIG_FILE"] = str(_font_file(tmp_path_factory.mktemp(fonts), fonts))
            chromium = playwright.chromium
            return chromium.launch(executable_path=str(CHROMIUM), args=FLAGS, env=env)

        yield start


@pytest.fixture(scope="session")
def browser(browser_with: Callable[[str], Any]) -> Any:
    """Start Chromium with all fonts that are there."""
    return browser_with("")


AT_REST = """() => new Promise((done) => {
  let frames = 0;
  const changes = new MutationObserver(() => { frames = 0; });
  const all = { subtree: true, childList: true, attributes: true, characterData: true };
  changes.observe(document, all);
  const frame = () => {
    const moving = document.getAnimations().some(({ playState }) => playState === 'running');
    frames = moving ? 0 : frames + 1;
    if (frames < 3) return requestAnimationFrame(frame);
    changes.disconnect();
    done();
  };
  requestAnimationFrame(frame);
})"""
"""Wait until three frames in a row bring no change."""


class Visit:
    """A page opened by a visitor of their own, who hears everything it says in the console."""

    def __init__(self, browser: Any, address: str, **context: Any) -> None:
        self.address = address
        self.context = browser.new_context(**{"viewport": {"width": 1440, "height": 900}} | context)
        self.context.set_default_timeout(PATIENCE * 1000)
        self.page = self.context.new_page()
        self.said: list[str] = []
        self.page.on(
            "console", lambda message: self.said.append(message.text + str(message.location))
        )
        self.page.on("pageerror", lambda error: self.said.append(str(error)))
        self._asked: set[Any] = set()
        self.page.on("request", self._begun)
        for end in ("requestfinished", "requestfailed"):
            self.page.on(end, self._ended)

    def _begun(self, request: Any) -> None:
        self._asked.add(request)

    def _ended(self, request: Any) -> None:
        self._asked.discard(request)

    def open(self, plan: str = "") -> Any:
        """Open a plan (the sample if there is none) and wait until its quilt is drawn."""
        self.page.goto(f"{self.address}/{f'#plan={plan}' if plan else ''}")
        self.page.wait_for_selector("[data-cell]")
        return self.page

    def step(self, name: str) -> None:
        """Open a step."""
        if not self.page.evaluate(f"document.querySelector('#step-{name}').open"):
            self.page.click(f"#step-{name} summary")
        # Some steps are fetched when they are first opened.
        self.until(f"document.querySelector('{name}-step').matches(':defined')")

    def saved(self) -> None:
        """Wait until everything is saved."""
        self.until("document.querySelector('#status').textContent === 'Saved'")

    def until(self, expression: str) -> None:
        """Wait until an expression is true; asked from outside, as the page forbids eval."""
        end = time.monotonic() + PATIENCE
        while not self.page.evaluate(expression):
            assert time.monotonic() < end, f"never true: {expression}"
            self.page.evaluate("new Promise(requestAnimationFrame)")

    def at_rest(self) -> None:
        """Wait until nothing is asked of the server and nothing on the page changes."""
        end = time.monotonic() + PATIENCE
        asked = True
        while asked:
            self.page.evaluate(AT_REST)
            asked = bool(self._asked)
            assert time.monotonic() < end, f"never at rest: {self._asked}"

    def fabrics(self) -> list[str]:
        """Return what lies in each block, as a screen reader says it."""
        names = "cells => cells.map(cell => cell.getAttribute('aria-label'))"
        labels = self.page.eval_on_selector_all("quilt-wall .quilt [data-cell]", names)
        return [label.split(", row ")[0] for label in labels]


@pytest.fixture
def visit(browser_with: Callable[[str], Any], address: str) -> Iterator[Any]:
    """Return a way to make visits; every page must have kept silent in the end."""
    visits: list[Visit] = []

    def make(at: str = address, fonts: str = "", **context: Any) -> Visit:
        visits.append(Visit(browser_with(fonts), at, **context))
        return visits[-1]

    yield make
    said = [words for made in visits for words in made.said]
    for made in visits:
        made.context.close()
    assert said == [], "the page said something in the console"


@pytest.fixture(scope="session")
def sample(address: str) -> str:
    """Make a copy of the sample plan to look at; return its id."""
    return begin(address)


@pytest.fixture
def own(address: str) -> str:
    """Make a copy of the sample plan that no other test touches, called Meadow; its id."""
    return begin(address, title="Meadow")


@pytest.fixture(scope="session")
def axe() -> Path:
    """Return the file that judges a page by the rules of WCAG."""
    path = REPOSITORY / "tests" / "page" / "node_modules" / "axe-core" / "axe.min.js"
    if not path.exists():
        pytest.skip("axe-core is not there: run npm install in tests/page")
    return path


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what opens a page in a browser as slow."""
    for item in items:
        if "browser_with" in getattr(item, "fixturenames", ()):
            item.add_marker(pytest.mark.slow)
