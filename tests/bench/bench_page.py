"""How quick the page is: swapping blocks, and sending many large photos.

Swaps, on 72 blocks with 42 photos: how long the server takes to answer one, saved
and committed; how long the page's own work in the frame of a swap takes (script,
style, layout, paint); and from pressing a key to the picture on the screen, as
the browser's Event Timing tells it (https://www.w3.org/TR/event-timing/, in
steps of 8 ms; what it leaves out took less than 16 ms).

Photos: 72 of 12 megapixels given to the page at once, until the first swatch and
until the last one; memory of the server and its children meanwhile.

Needs Debian's package 'chromium'. Give 'swaps' or 'photos' to do just one.
"""

from __future__ import annotations

import http.client
import io
import json
import re
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from contextlib import contextmanager
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any
from uuid import uuid4

import numpy as np
from PIL import Image, ImageChops
from playwright.sync_api import sync_playwright

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

CHROMIUM = "/usr/bin/chromium"
FLAGS = ["--no-sandbox", "--disable-quic", "--disable-background-networking", "--no-first-run"]
SWAPS = 250
FABRICS = 39
BACKGROUNDS = 3
PHOTOS = 72
LARGE = (4000, 3000)
"""Pixels: 12 megapixels."""

OBSERVE = """() => { window.slow = [];
  new PerformanceObserver((list) => {
    for (const entry of list.getEntries()) {
      if (entry.name === 'keydown') window.slow.push(entry.duration);
    }
  }).observe({ type: 'event', durationThreshold: 16 }); }"""

IN_A_FRAME = """async (swaps) => {
  const press = (cell) => { cell.focus(); cell.dispatchEvent(
    new KeyboardEvent('keydown', { key: 'Enter', bubbles: true, cancelable: true })); };
  const cells = () => document.querySelectorAll('quilt-wall .quilt [data-cell]');
  const frame = (act) => new Promise((done) => requestAnimationFrame(() => {
    const start = performance.now();
    const { port1, port2 } = new MessageChannel();
    // A message sent now arrives when this frame's style, layout and paint are done.
    port1.onmessage = () => done(performance.now() - start);
    act();
    port2.postMessage(0);
  }));
  const times = [];
  for (let i = 0; i < swaps; i += 1) {
    const [first, second] = [(i * 7) % 72, (i * 7 + 1 + (i % 5)) % 72];
    await frame(() => press(cells()[first]));
    times.push(await frame(() => press(cells()[second])));
    while (document.querySelector('#status').textContent !== 'Saved')
      await new Promise((done) => setTimeout(done, 2));
  }
  return times;
}"""


def photo(number: int, size: tuple[int, int]) -> bytes:
    """Return a photo of an invented print."""
    rng = np.random.default_rng(number)
    tile = Image.fromarray(rng.integers(0, 2, (12, 16), np.uint8) * 255)
    ground, figure = (
        Image.new("RGB", size, tuple(map(int, colour))) for colour in rng.integers(20, 235, (2, 3))
    )
    printed = Image.composite(figure, ground, tile.resize(size, Image.Resampling.BICUBIC))
    out = io.BytesIO()
    ImageChops.add(printed, _grain(size), 1, -20).save(out, "JPEG", quality=90)
    return out.getvalue()


@lru_cache(maxsize=2)
def _grain(size: tuple[int, int]) -> Image.Image:
    """Return what makes a photo of flat colours grainy: around 20, to be taken off again."""
    return Image.effect_noise(size, 10).point(lambda level: level - 108).convert("RGB")


@contextmanager
def serving() -> Iterator[tuple[int, int]]:
    """Run the program on a database of its own; yield its port and its process."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = int(probe.getsockname()[1])
    with tempfile.TemporaryDirectory() as folder:
        data = str(Path(folder) / "plans.sqlite3")
        command = [
            sys.executable,
            "-m",
            "api.cli",
            "--no-open",
            "--port",
            str(port),
            "--data",
            data,
        ]
        with subprocess.Popen(command, stdout=subprocess.DEVNULL) as program:
            try:
                _wait(port)
                yield port, program.pid
            finally:
                program.terminate()


def _wait(port: int) -> None:
    while True:
        try:
            with urllib.request.urlopen(f"http://127.0.0.1:{port}/api/health"):
                return
        except OSError:
            time.sleep(0.05)


def ask(port: int, method: str, path: str, body: bytes, kind: str = "application/json") -> Any:
    """Send a request; return the JSON that comes back."""
    address = f"http://127.0.0.1:{port}{path}"
    wish = urllib.request.Request(address, body, {"Content-Type": kind}, method=method)
    with urllib.request.urlopen(wish) as answer:
        return json.load(answer)


def form(photos: Sequence[bytes]) -> tuple[bytes, str]:
    """Return photos as the body of a form, and its type."""
    mark = uuid4().hex
    parts = [
        f'--{mark}\r\nContent-Disposition: form-data; name="photos"; filename="print {k}.jpg"\r\n'
        f"Content-Type: image/jpeg\r\n\r\n".encode()
        + data
        + b"\r\n"
        for k, data in enumerate(photos)
    ]
    return b"".join((*parts, f"--{mark}--\r\n".encode())), f"multipart/form-data; boundary={mark}"


def big_plan(port: int) -> str:
    """Make a plan of 72 blocks with 42 photos; return its id."""
    here = "/api/plans/" + str(ask(port, "POST", "/api/plans", b"{}")["id"])
    for role, numbers in (("fabric", range(FABRICS)), ("background", range(900, 903))):
        body, kind = form([photo(k, (1400, 1050)) for k in numbers])
        ask(port, "POST", f"{here}/fabrics?role={role}", body, kind)
    view = ask(port, "POST", f"{here}/layout", b"{}")
    blocks = view["plan"]["layout"]["fabrics"]
    pictures = len(view["pictures"])
    print(f"{len(blocks)} blocks, {len(set(blocks))} fabrics laid, {pictures} photos")
    return here


def told(name: str, milliseconds: Sequence[float]) -> None:
    """Print one line of a table."""
    p50, p99 = np.percentile(milliseconds, [50, 99])
    most = max(milliseconds)
    print(f"{name:44}  {len(milliseconds):5}  {p50:7.1f}  {p99:7.1f}  {most:7.1f}")


def answered(port: int, here: str) -> list[float]:
    """Swap blocks over HTTP; return milliseconds from request to the whole answer."""
    link = http.client.HTTPConnection("127.0.0.1", port)
    times, size = [], 0
    headers = {"Content-Type": "application/json", "Accept-Encoding": "gzip"}
    for k in range(SWAPS):
        body = json.dumps({"first": k * 7 % 72, "second": (k * 7 + 1 + k % 5) % 72})
        start = time.perf_counter()
        link.request("POST", f"{here}/layout/swap", body, headers)
        answer = link.getresponse()
        size = len(answer.read())
        times.append(1000 * (time.perf_counter() - start))
        assert answer.status == 200, answer.status
    print(f"an answer carries {size:,} bytes, packed")
    return times


def swaps() -> None:
    """Measure swaps and print them."""
    with serving() as (port, _), sync_playwright() as playwright:
        here = big_plan(port)
        print(f"{'milliseconds':44}  swaps      p50      p99     most")
        told("answered, saved and committed", answered(port, here))
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        page = browser.new_page(viewport={"width": 1440, "height": 900})
        page.goto(f"http://127.0.0.1:{port}/#plan={here.rsplit('/', 1)[1]}")
        page.wait_for_selector("[data-cell]")
        page.wait_for_timeout(4000)
        told("work in the frame of the swap", page.evaluate(IN_A_FRAME, SWAPS))
        told("key to screen, lifting and placing", pressed(page))
        browser.close()


def pressed(page: Any) -> list[float]:
    """Swap blocks with real keys; return what Event Timing tells of each."""
    page.evaluate(OBSERVE)
    cells = page.locator("quilt-wall .quilt [data-cell]")
    for k in range(SWAPS):
        for cell in (k * 7 % 72, (k * 7 + 1 + k % 5) % 72):
            cells.nth(cell).focus()
            page.keyboard.press("Enter")
        page.wait_for_timeout(30)
    page.wait_for_timeout(500)
    slow: list[float] = page.evaluate("window.slow")
    return [*slow, *[16.0] * (2 * SWAPS - len(slow))]


def photos() -> None:
    """Measure the sending of many large photos and print it."""
    with (
        tempfile.TemporaryDirectory() as folder,
        serving() as (port, process),
        sync_playwright() as playwright,
    ):
        files = []
        for k in range(PHOTOS):
            files.append(str(Path(folder) / f"photo {k}.jpg"))
            Path(files[-1]).write_bytes(photo(k, LARGE))
        size = sum(Path(file).stat().st_size for file in files)
        print(f"{PHOTOS} photos of 12 megapixels, {size / 1e6:.0f} MB")
        plan = ask(port, "POST", "/api/plans", b"{}")["id"]
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        page = browser.new_page(viewport={"width": 1440, "height": 900})
        page.goto(f"http://127.0.0.1:{port}/#plan={plan}")
        page.click("#step-fabrics summary")
        start = time.perf_counter()
        page.locator("fabrics-step input[type=file][multiple]").first.set_input_files(files)
        seen: list[tuple[float, int]] = []
        memory = 0.0
        while not seen or seen[-1][1] < PHOTOS:
            count = page.locator("fabrics-step button.tile").count()
            if not seen or seen[-1][1] < count:
                seen.append((time.perf_counter() - start, count))
            memory = max(memory, _memory(process))
            page.wait_for_timeout(100)
        times = [seconds for seconds, count in seen if count]
        print(f"first swatch after {times[0]:.1f} s, all after {times[-1]:.1f} s")
        print(f"longest wait between two: {max(np.diff([0, *times])):.1f} s")
        print(f"server and its children: at most {memory:.0f} MiB")
        browser.close()


def _memory(process: int) -> float:
    """Return resident memory of a process and its descendants in MiB, where /proc tells."""
    family, found = {process}, 0.0
    for status in sorted(Path("/proc").glob("[0-9]*/status"), key=lambda p: int(p.parts[2])):
        try:
            text = status.read_text()
        except OSError:
            continue
        number, parent = int(status.parts[2]), re.search(r"PPid:\s+(\d+)", text)
        if number in family or (parent and int(parent[1]) in family):
            family.add(number)
            size = re.search(r"VmRSS:\s+(\d+)", text)
            found += int(size[1]) / 1024 if size else 0.0
    return found


if __name__ == "__main__":
    for part in sys.argv[1:] or ("swaps", "photos"):
        {"swaps": swaps, "photos": photos}[part]()
