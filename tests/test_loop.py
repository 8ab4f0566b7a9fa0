"""A small test starts at once: the tests of a room load neither other rooms nor unused tools."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PROBE = """
import json, sys
import pytest
status = pytest.main(sys.argv[1:])
print()
print(json.dumps([int(status), sorted({name.split(".")[0] for name in sys.modules})]))
"""


@pytest.mark.parametrize(
    ("tests", "others"),
    [
        ("tests/palette/test_solid.py", {"api", "placement", "anyio", "fastapi", "hypothesis"}),
        ("tests/placement/top/setting/test_beds.py", {"api", "palette", "anyio", "fastapi"}),
        ("tests/api/drawing/test_scene.py", {"anyio", "fastapi", "starlette"}),
    ],
)
def test_a_room_is_tested_without_the_others(tests: str, others: set[str]) -> None:
    command = [sys.executable, "-c", PROBE, "-p", "no:cacheprovider", tests]
    done = subprocess.run(command, capture_output=True, text=True, cwd=ROOT, check=True)
    status, loaded = json.loads(done.stdout.splitlines()[-1])
    assert status == 0, done.stdout
    assert others.isdisjoint(loaded)
    assert "schemathesis" not in loaded
