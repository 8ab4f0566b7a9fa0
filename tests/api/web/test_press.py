"""What is dear is made in a child: it ends when nobody waits, or when it takes too much."""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING

import pytest
from starlette.exceptions import HTTPException

from api.web import press as room
from api.web.press import Job, Press
from api.web.problems import ProblemError
from api.web.task import StoppedError
from tests.api.talk import ok, problem

if TYPE_CHECKING:
    from fastapi.testclient import TestClient

    from api.storage.kept import Saved


def drawing(plan: Saved, width: int = 300) -> Job:
    how = {"view": "flat", "form": "png", "width": width}
    return Job("drawing", [plan.body.encode()], {"pictures": [], "how": how})


def nobody(_share: float, _what: object) -> None:
    """Hear of progress and do nothing."""


def test_a_job_nobody_waits_for_is_ended_and_its_child_with_it(press: Press, plan: Saved) -> None:
    assert press.made(drawing(plan), nobody).startswith(b"\x89PNG")
    (child,) = press._children
    assert child.running
    looked = threading.Event()

    def hung_up(_share: float, _what: object) -> None:
        looked.set()
        raise StoppedError

    with pytest.raises(StoppedError):
        press.made(drawing(plan, 5000), hung_up)
    assert looked.is_set()
    assert not child.running


def test_a_job_that_takes_too_long_is_told(plan: Saved) -> None:
    hasty = Press(1, seconds=0.0)
    with pytest.raises(HTTPException, match=r"more than 0 seconds or 1 GB"):
        hasty.made(drawing(plan), nobody)
    hasty.close()


def test_what_is_wrong_is_told_as_a_problem(press: Press, plan: Saved) -> None:
    with pytest.raises(ProblemError) as caught:
        press.made(drawing(plan, 1), nobody)
    assert (caught.value.problem.status, caught.value.problem.detail) == (
        422,
        "A picture is 16 to 10000 pixels wide, not 1.",
    )


def test_a_queue_that_is_too_long_is_refused(
    client: TestClient, plan: Saved, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(room, "MOST_WAITING", 0)
    answer = client.get(f"/api/plans/{plan.id}/sizes")
    assert "try again in a minute" in problem(answer, 503)
    assert answer.headers["retry-after"] == "60"
    # Showing the plan does not wait there.
    ok(client.get(f"/api/plans/{plan.id}"))


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_a_page_of_another_site_can_ask_for_no_work(client: TestClient, site: str) -> None:
    asked = "/api/what-if?form=fat eighth&block=nine-patch"
    answer = client.get(asked, headers={"sec-fetch-site": site})
    assert "another site" in problem(answer, 403)
    assert client.get("/", headers={"sec-fetch-site": site}).status_code == 200
