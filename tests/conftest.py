"""What all rooms share: how property tests run, where the sample photos lie. Nothing heavy."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

REPOSITORY = Path(__file__).resolve().parent.parent


def pytest_collectstart(collector: pytest.Collector) -> None:
    """Set hypothesis up before the first module that uses it is loaded, and only then."""
    if isinstance(collector, pytest.Module) and b"hypothesis" in collector.path.read_bytes():
        _steady()


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Leave out hypothesis's summary, which would load it, where nothing used it."""
    plugins = session.config.pluginmanager
    if "hypothesis" not in sys.modules and plugins.has_plugin("hypothesispytest"):
        plugins.unregister(name="hypothesispytest")


def _steady() -> None:
    """Give machines of any speed one profile: examples are bounded, time is not."""
    from hypothesis import settings

    if settings.get_current_profile_name() != "steady":
        derandomize = bool(os.environ.get("CI"))
        settings.register_profile("steady", deadline=None, derandomize=derandomize, max_examples=40)
        settings.load_profile("steady")


@pytest.fixture(scope="session")
def demo_photos() -> tuple[Path, ...]:
    """Return the photos of the sample bundle."""
    folder = REPOSITORY / "demo_swatches"
    return tuple(sorted(path for path in folder.iterdir() if path.suffix in {".jpg", ".webp"}))
