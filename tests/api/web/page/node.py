"""Runs modules outside the browser."""

from __future__ import annotations

import json
import shutil
import subprocess
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from pathlib import Path


def ran(text: str, folder: Path) -> Any:
    """Run a module in a folder; return what it leaves in globalThis.seen."""
    if not shutil.which("node"):
        pytest.skip("nothing to run modules with: install Node.js")
    (folder / "package.json").write_text('{"type": "module"}', encoding="utf-8")
    told = "console.log(JSON.stringify(globalThis.seen));"
    (folder / "all.js").write_text(f"{text}\n{told}", encoding="utf-8")
    done = subprocess.run(
        ["node", "all.js"], cwd=folder, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)
