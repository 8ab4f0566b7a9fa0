"""The check of a plan over HTTP, and the refusal of what is made of a plan with a fault."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from api.pattern import checking
from api.web.jobs import do
from api.web.press import of
from placement.checks.fault import FaultKind, fault

if TYPE_CHECKING:
    from fastapi.testclient import TestClient

    from api.storage.kept import Saved
    from api.web.press import Press

CHECKED = "Checked: every piece lies on its cloth."


@pytest.fixture
def faulty(monkeypatch: pytest.MonkeyPatch, press: Press) -> None:
    """Plant two faults in what is cut for any plan; what is printed is made in this process."""
    faults = (
        fault(FaultKind.BINDING_SPARE, count=9),
        fault(FaultKind.BORDER_GRAIN, number=1),
    )
    monkeypatch.setattr(checking, "check", lambda _plan, _book: faults)
    monkeypatch.setattr("api.booklet.checking.check", lambda _plan, _book: faults)
    monkeypatch.setattr(press, "made", lambda job, _: of(do(job.name, job.parts, job.wish)))


def test_a_sound_plan_is_said_to_be_checked(client: TestClient, plan: Saved) -> None:
    answer = client.get(f"/api/plans/{plan.id}/check")
    assert answer.json() == {"sound": True, "words": CHECKED, "faults": []}
    table = client.get(f"/api/plans/{plan.id}/cutting/table").json()
    assert table["checked"] == CHECKED
    assert CHECKED in client.get(f"/api/plans/{plan.id}/cutting.txt").text
    assert CHECKED in client.get(f"/api/plans/{plan.id}/booklet.html").text


@pytest.mark.usefixtures("faulty")
def test_every_fault_is_listed(client: TestClient, plan: Saved) -> None:
    answer = client.get(f"/api/plans/{plan.id}/check").json()
    assert not answer["sound"]
    assert [entry["kind"] for entry in answer["faults"]] == ["binding spare", "border grain"]
    assert answer["words"] == "9 pieces are more than the binding takes."


@pytest.mark.usefixtures("faulty")
@pytest.mark.parametrize(
    "what",
    ["cutting", "cutting/table", "cutting.txt", "cutting/linen.svg", "booklet.pdf", "booklet.html"],
)
def test_nothing_is_told_of_a_plan_with_a_fault(client: TestClient, plan: Saved, what: str) -> None:
    answer = client.get(f"/api/plans/{plan.id}/{what}")
    assert answer.status_code == 409
    problem = answer.json()
    assert "9 pieces are more than the binding takes (and 1 more fault)" in problem["detail"]
    assert [entry["detail"] for entry in problem["errors"]] == [
        "9 pieces are more than the binding takes.",
        "The strips of border 1 may be cut off their grain.",
    ]


def test_a_plan_that_is_not_there_is_not_checked(client: TestClient) -> None:
    assert client.get("/api/plans/none/check").status_code == 404
