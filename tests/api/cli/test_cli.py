"""The command line, run as a newcomer runs it: in a process of its own."""

from __future__ import annotations

import base64
import io
import re
import socket
import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from api.pattern.stored import from_json

ROOT = Path(__file__).resolve().parents[3]
DEMO = ROOT / "demo_swatches"
BUNDLE = [
    DEMO / f"{stem}.jpg"
    for stem in ("quince-dots", "plum-pindot", "pond-scallop", "rosehip-solid", "ivy-windowpane",
                 "bark-linen", "milk-clover", "sage-vine")
]  # fmt: skip


def _run(*words: object, cwd: Path = ROOT) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "api.cli", *map(str, words)]
    env = {"PYTHONPATH": str(ROOT), "PATH": "/usr/bin:/bin"}
    return subprocess.run(
        command, capture_output=True, text=True, cwd=cwd, env=env, timeout=120, check=False
    )


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, subprocess.CompletedProcess[str]]:
    out = tmp_path_factory.mktemp("plan") / "quilt"
    broken = out.parent / "broken.jpg"
    broken.write_bytes(b"\xff\xd8 not a photo")
    linen = DEMO / "background-oat-linen.jpg"
    done = _run("plan", *BUNDLE, linen, broken, "--background", linen, "--count", 6,
                "--across", 4, "--down", 5, "--block-size", "8", "--out", out)  # fmt: skip
    return out, done


def test_a_folder_of_photos_becomes_a_plan_and_its_pictures(
    made: tuple[Path, subprocess.CompletedProcess[str]],
) -> None:
    out, done = made
    assert done.returncode == 0, done.stderr
    names = {path.name for path in out.iterdir()}
    drawn = {"layout.svg", "layout.png", "grey.png", "picks.png"}
    assert names == {"plan.json", "pictures", *drawn}
    plan = from_json((out / "plan.json").read_bytes())
    assert plan.layout is not None
    # 4 x 5 + 3 x 4, derived.
    assert len(plan.layout.fabrics) == 32
    assert len(plan.layout.counts()) == 6
    for name in ("layout.png", "grey.png", "picks.png"):
        with Image.open(out / name) as picture:
            assert picture.width >= 1000
    assert ET.parse(out / "layout.svg").getroot().tag.endswith("svg")


def test_the_summary_is_printed_with_a_reason_for_each_fabric_left_out(
    made: tuple[Path, subprocess.CompletedProcess[str]],
) -> None:
    text = made[1].stdout
    assert "32 sawtooth star blocks of 8 in, on point" in text
    assert re.search(r"'milk clover' sinks into 'background oat linen'", text)


def test_what_is_wrong_with_a_chosen_fabrics_photo_is_told(tmp_path: Path) -> None:
    small = [tmp_path / name for name in ("moss.png", "plum.png")]
    for path, colour in zip(small, ((90, 110, 60), (110, 40, 90)), strict=True):
        Image.new("RGB", (90, 90), colour).save(path)
    done = _run("plan", *small, "--across", 1, "--down", 2, "--out", tmp_path / "out")
    assert done.returncode == 0, done.stderr
    # Once, although it holds for both.
    assert "! moss and plum: The photo has only 90 x 90 pixels" in done.stdout


def test_a_block_of_ones_own_that_no_closed_form_cuts_is_refused(tmp_path: Path) -> None:
    own = tmp_path / "own.json"
    # A goose as high as it is wide; handbooks cut one that is twice as wide as high.
    own.write_text('{"name": "Lone goose", "columns": [1], "rows": [1], "patches": ["^FB"]}')
    words = ["plan", DEMO / "bark-linen.jpg", "--own-block", own, "--out", tmp_path / "out"]
    done = _run(*words)
    assert done.returncode == 2
    assert f"{own}: Lone goose can't be cut: a flying goose must be twice as long" in done.stderr


def test_metric_work_begins_with_sizes_on_the_ruler(tmp_path: Path) -> None:
    out = tmp_path / "out"
    cloth = DEMO / "bark-linen.jpg", "--background", DEMO / "background-oat-linen.jpg"
    made = _run("plan", *cloth, "--units", "metric", "--across", 1, "--down", 1, "--out", out)
    assert made.returncode == 0, made.stderr
    done = _run("cut", out / "plan.json")
    assert "Cut" in done.stdout
    assert "between the ruler's" not in done.stdout


def test_a_broken_photo_is_named_and_the_rest_go_on(
    made: tuple[Path, subprocess.CompletedProcess[str]],
) -> None:
    assert "broken" in made[1].stderr
    assert "Traceback" not in made[1].stderr


def test_the_background_is_not_counted_among_the_fabrics(
    made: tuple[Path, subprocess.CompletedProcess[str]],
) -> None:
    plan = from_json((made[0] / "plan.json").read_bytes())
    assert len(plan.brief.swatches) == len(BUNDLE)
    assert plan.background == "background-oat-linen"


def test_no_place_or_time_of_a_photo_reaches_a_written_file(tmp_path: Path) -> None:
    out = tmp_path / "out"
    # This photo of the sample carries an invented position.
    done = _run("plan", DEMO / "apricot-petals.jpg", "--across", 1, "--down", 1, "--out", out)
    assert done.returncode == 0, done.stderr
    for path in filter(Path.is_file, out.rglob("*")):
        data = path.read_bytes()
        assert b"Exif" not in data
        for coded in re.findall(rb"base64,([A-Za-z0-9+/=]+)", data):
            held = base64.b64decode(coded)
            assert b"Exif" not in held
            if held.startswith(b"\xff\xd8"):
                assert dict(Image.open(io.BytesIO(held)).getexif()) == {}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--count", "0"], "--count: must be from 1 to 300, not 0"),
        (["--across", "six"], "'six' is not a whole number from 1 to 50"),
        (["--block-size", "wide"], "'wide' is not a length"),
        (["--block-size", "0"], "must be above 0 and at most 120 inches, not 0"),
        (["--across", "9999"], "--across: must be from 1 to 50, not 9999"),
        (["--style", "zigzag"], "there is no style 'zigzag'; choose one of scattered,"),
        (["--apart", "2"], "must be from 0 to 1, not 2"),
        (["--cornerstones"], "give --sashing a width as well"),
        (["--sashing", "9"], "sashing of 9 in is not narrower than a block of 8 1/2 in"),
        (["--sashing", "1", "--sashing-fabric", "moss"], "no fabric 'moss' for the sashing"),
    ],
)
def test_a_wrong_call_is_answered_with_a_sentence(
    tmp_path: Path, words: list[str], said: str
) -> None:
    done = _run("plan", BUNDLE[0], "--out", tmp_path / "out", *words)
    assert done.returncode == 2
    assert said in done.stderr
    assert "Traceback" not in done.stderr


def test_a_place_that_can_t_be_written_to_is_named(tmp_path: Path) -> None:
    taken = tmp_path / "taken"
    taken.write_text("a file, not a folder")
    done = _run("plan", BUNDLE[0], "--across", 1, "--down", 1, "--out", taken)
    assert done.returncode == 2
    assert f"{taken}: File exists" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_port_that_is_taken_is_told_with_a_way_out(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        done = _run("--no-open", "--port", port, "--data", tmp_path / "plans.sqlite3")
    assert done.returncode == 2
    assert f"port {port}" in done.stderr
    assert "--port" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_file_that_keeps_no_plans_is_named(tmp_path: Path) -> None:
    wrong = tmp_path / "letter.txt"
    wrong.write_text("Dear Maren, " * 100)
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    done = _run("--no-open", "--port", port, "--data", wrong)
    assert done.returncode == 2
    assert "letter.txt" in done.stderr
    assert "Traceback" not in done.stderr


def test_photos_that_are_not_there_are_named(tmp_path: Path) -> None:
    done = _run("plan", tmp_path / "missing.jpg", "--out", tmp_path / "out")
    assert done.returncode == 1
    assert "missing.jpg" in done.stderr
    assert "add photos" in done.stdout


def test_the_readme_python_runs_as_printed() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    (code,) = re.findall(r"```python\n(.*?)```", text, re.DOTALL)
    # Ten lines of work besides imports, as the heading promises; fewer photos for speed.
    short = code.replace("*.jpg", "[b-c]*.jpg").replace("count=18", "count=3")
    done = subprocess.run(
        [sys.executable, "-c", short], capture_output=True, text=True, cwd=ROOT,
        env={"PYTHONPATH": str(ROOT)}, timeout=120, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert "blocks" in done.stdout


def test_a_light_and_its_white_are_told_on_the_command_line(tmp_path: Path) -> None:
    lamp = np.array([0.98, 0.82, 0.6])
    for name, colour, paper in (("a", (120, 60, 90), True), ("b", (60, 100, 140), False)):
        pixels = np.full((240, 320, 3), colour, dtype=np.float64)
        if paper:
            pixels[15:75, 15:95] = 245
        Image.fromarray((pixels * lamp).astype(np.uint8)).save(tmp_path / f"{name}.png")
    photos = tmp_path / "a.png", tmp_path / "b.png"
    done = _run("plan", *photos, "--same-light", "--across", 2, "--down", 2,
                "--setting", "straight", "--out", tmp_path / "out")  # fmt: skip
    assert done.returncode == 0, done.stderr
    plan = from_json((tmp_path / "out" / "plan.json").read_text())
    fabrics = [swatch.fabric for swatch in plan.brief.swatches]
    assert [fabric.corrected for fabric in fabrics] == ["white", "white"]
    assert len({fabric.light for fabric in fabrics} - {""}) == 1


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--white", "0.9,0.1,0.2,0.3"), "no part of a photo"),
        (("--white", "top"), "no place in a photo"),
        (("--paper", "white"), "is no paper"),
        (("--chart", str(ROOT / "pyproject.toml")), "the chart is not readable"),
    ],
)
def test_a_white_that_is_none_is_refused(words: tuple[str, str], said: str, tmp_path: Path) -> None:
    done = _run("plan", BUNDLE[0], *words, "--out", tmp_path / "out")
    assert done.returncode == 2
    assert said in done.stderr
