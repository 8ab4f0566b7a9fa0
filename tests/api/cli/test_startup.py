"""The server is there at once: what is heavy is loaded when it is first needed."""

from __future__ import annotations

import json
import socket
import subprocess
import sys
import urllib.request
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

HEAVY = (
    *("skimage", "scipy", "PIL", "pysat", "colormath", "networkx"),
    *("palette.photo.read", "api.drawing.png"),
)

LOADED = f"""
import json, sys
from api.web.app import create_app
from api.storage.store import Store
create_app(Store(sys.argv[1]))
print(json.dumps([name for name in {HEAVY!r} if name in sys.modules]))
"""


def test_nothing_heavy_is_loaded_to_start(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", LOADED, str(tmp_path / "plans.sqlite3")],
        capture_output=True,
        text=True,
        check=True,
    )
    assert json.loads(done.stdout) == []


def test_a_version_is_told_without_loading_what_makes_plans() -> None:
    code = (
        "import sys; from api.cli.main import main\n"
        "try: main(['--version'])\n"
        "except SystemExit: pass\n"
        "print([n for n in ('numpy', 'pydantic', 'rich', 'palette') if n in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    version, loaded = done.stdout.splitlines()
    assert version.startswith("spreadwell ")
    assert loaded == "[]"


def free_port() -> int:
    """Return a port nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
    return port


def test_whoever_calls_once_the_page_is_announced_is_answered(tmp_path: Path) -> None:
    port, data = free_port(), str(tmp_path / "plans")
    words = ["-m", "api.cli", "--no-open", "--port", str(port), "--data", data]
    child = subprocess.Popen(
        [sys.executable, *words], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    assert child.stdout
    try:
        assert child.stdout.readline().startswith(f"Spreadwell is at http://127.0.0.1:{port}/")
        with urllib.request.urlopen(f"http://127.0.0.1:{port}/api/health") as answer:
            assert json.load(answer)["status"] == "ok"
    finally:
        child.terminate()
        _, log = child.communicate(timeout=30)
    assert "Traceback" not in log
