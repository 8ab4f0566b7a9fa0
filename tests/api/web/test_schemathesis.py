"""Every route against its own description: what is sent follows it or breaks it on purpose."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

import pytest
import schemathesis
from hypothesis import HealthCheck, settings
from schemathesis.config import SchemathesisConfig

from api.storage.store import Store
from api.web.app import create_app
from api.web.workspace import Workspace

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.photos.worker_pool import Reader
    from api.storage.kept import Draft
    from api.web.press import Press

EXAMPLES = 15
DEAR = ("what-if", "sizes", "booklet.pdf", "booklet.html", "further")
"""Ends of the routes whose answers take seconds ..."""
MOST_DEAR = 5
"""... and how many of the calls to each are made; their queries are tried in tests of their own."""
MOST = 400
"""Calls to any other route: for a brief with all its decisions thrice as many are thought of."""
calls: Counter[str] = Counter()

CONFIG = {
    # How long an answer takes is the machine's doing; unless told, 10 s are too long.
    "request-timeout": 86_400,
    "generation": {"deterministic": True},
    "checks": {
        # A description can't tell that a fabric must exist (422), or which revision a plan
        # stands at (412).
        "positive_data_acceptance": {
            "expected-statuses": ["2xx", "304", "404", "409", "412", "422"],
        },
        "negative_data_rejection": {
            "expected-statuses": ["400", "404", "405", "412", "415", "422"],
        },
    },
}


# The routes must be known before any fixture runs; the fixture gives them a store to work on.
APP = create_app(Store("sqlite://"), hosts=["testserver"])
schema = schemathesis.openapi.from_asgi(
    "/openapi.json", APP, config=SchemathesisConfig.from_dict(CONFIG)
)


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory, reader: Reader, press: Press) -> Iterator[Store]:
    """Give the program a store for all routes."""
    store = Store(tmp_path_factory.mktemp("schemathesis") / "plans.sqlite3")
    APP.state.workspace = Workspace(store, reader, press)
    yield store
    store.close()


@schema.parametrize()
@settings(
    max_examples=EXAMPLES,
    derandomize=True,
    deadline=None,
    suppress_health_check=list(HealthCheck),
)
def test_a_route_does_what_it_says(case: schemathesis.Case, kept: Store, finished: Draft) -> None:
    calls[case.path] += 1
    if calls[case.path] > (MOST_DEAR if case.path.endswith(DEAR) else MOST):
        return
    parts = case.path_parameters or {}
    # Nearly all calls shall find a plan to work on, and each its own.
    if parts.get("plan", "0") != "0":
        parts["plan"] = kept.add(finished).id
    if len(str(parts.get("fabric", ""))) % 4:
        parts["fabric"] = "moss"
    if len(str(parts.get("picture", ""))) % 4:
        parts["picture"] = next(iter(finished.pictures))
    if len(str(parts.get("token", ""))) % 4:
        parts["token"] = kept.link(kept.add(finished).id)
    if len(str(case.headers.get("if-match", ""))) % 4:
        case.headers["if-match"] = '"1"'
    case.call_and_validate()
