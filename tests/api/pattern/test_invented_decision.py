"""A decision that is invented here is found everywhere, though no other line is written for it."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[3]

INVENTED = """
    label_fabric: Annotated[
        str,
        Decision(
            about="Id of the fabric for the sewn-in label.",
            words="the label's fabric",
            names=("fabric",),
            use="label",
        ),
    ] = ""
    label_lines: Annotated[
        int, Decision(about="Lines on the label.", words="the label's lines", least=1, most=9)
    ] = 2
"""
"""Two fields of Brief: one that names a fabric, one with a range."""

WALK = """
import importlib.util, io, json, sys
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

folder, invented = Path(sys.argv[1]), sys.argv[2]
spec = importlib.util.find_spec("api.pattern.brief")
source = Path(spec.origin).read_text(encoding="utf-8")
head, last, tail = source.partition("    units: Annotated[")
assert last and "class Brief" in head
brief = importlib.util.module_from_spec(spec)
sys.modules[spec.name] = brief
exec(compile(head + invented.lstrip("\\n") + last + tail, spec.origin, "exec"), brief.__dict__)

from fastapi.testclient import TestClient
from api.cli.main import main
from api.storage.store import Store
from api.pattern.untrusted import VettingError, vetted
from api.web.app import create_app

found = {}
store = Store(folder / "plans.sqlite3")
with TestClient(create_app(store), base_url="http://127.0.0.1") as client:
    found["openapi"] = client.get("/openapi.json").json()
    plan = client.post("/api/plans", json={}).json()["id"]
    here = f"/api/plans/{plan}"
    client.post(f"{here}/colours", json={"colour": "#546e34", "name": "Moss"})
    sent = {"label_fabric": "moss", "label_lines": 4}
    found["status"] = client.patch(f"{here}/brief", json=sent).status_code
    found["brief"] = client.get(here).json()["plan"]["brief"]
    found["history"] = client.get(f"{here}/revisions").json()[-1]["what"]
    wrong = client.patch(f"{here}/brief", json={"label_lines": 12})
    found["range"] = wrong.json()["detail"]
    unknown = client.patch(f"{here}/brief", json={"label_fabric": "velvet"})
    found["unknown"] = unknown.json()["detail"]
    (folder / "plan.json").write_bytes(client.get(f"{here}/plan.json").content)
    client.delete(f"{here}/fabrics/moss")
    found["removed"] = client.get(here).json()["plan"]["brief"]["label_fabric"]
store.close()

def call(*words):
    out = io.StringIO()
    with redirect_stdout(out), redirect_stderr(out):
        try:
            main(["change", str(folder / "plan.json"), *words])
        except SystemExit:
            pass
    return out.getvalue()

found["help"] = call("--help")
found["refused"] = call("--label-lines", "12")
call("--label-lines", "5", "--label-fabric", "Moss")
written = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
found["written"] = dict(written["brief"])
written["brief"]["label_lines"] = 12
try:
    vetted(json.dumps(written).encode())
except VettingError as fault:
    found["vetted"] = str(fault)
(folder / "found.json").write_text(json.dumps(found), encoding="utf-8")
"""


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> Any:
    """Return what every face made of the invented decisions, in a process of its own."""
    folder = tmp_path_factory.mktemp("invented")
    command = [sys.executable, "-c", WALK, str(folder), INVENTED]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return json.loads((folder / "found.json").read_text(encoding="utf-8"))


def test_it_is_taken_over_http_with_its_range(found: Any) -> None:
    assert found["status"] == 200
    assert (found["brief"]["label_fabric"], found["brief"]["label_lines"]) == ("moss", 4)
    assert "from 1 to 9, not 12" in found["range"]
    assert "no fabric 'velvet' for the label" in found["unknown"]
    lines = found["openapi"]["components"]["schemas"]["BriefChange"]["properties"]["label_lines"]
    assert lines["description"] == "Lines on the label."
    assert {"type": "integer", "minimum": 1, "maximum": 9} in lines["anyOf"]


def test_it_is_an_option_of_the_command_line(found: Any) -> None:
    assert "--label-fabric FABRIC" in found["help"]
    assert "lines on the label (from 1 to 9; usually 2)" in " ".join(found["help"].split())
    assert "--label-lines: must be from 1 to 9, not 12" in found["refused"]
    assert (found["written"]["label_fabric"], found["written"]["label_lines"]) == ("moss", 5)


def test_the_history_has_its_words(found: Any) -> None:
    assert found["history"] == "Changed the label's fabric and the label's lines"


def test_a_plan_from_elsewhere_is_held_to_its_range(found: Any) -> None:
    assert "label_lines: must be from 1 to 9, not 12" in found["vetted"]


def test_it_names_no_fabric_that_was_removed(found: Any) -> None:
    assert found["removed"] == ""


def test_the_types_of_the_page_have_it(found: Any) -> None:
    from tests.page.test_types import maker

    types = maker().made(found["openapi"])
    sent, answered = types.split("BriefChange: {")[1], types.split(" Brief: {")[1]
    assert "label_lines?: number | null;" in sent.split("};")[0]
    assert "label_fabric: string;" in answered.split("};")[0]
