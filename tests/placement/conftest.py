"""Made-up palettes on tops of many sizes, as requests."""

from __future__ import annotations

import json
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from skimage.color import deltaE_ciede2000

from placement.inches import Inches
from placement.top.request import Request
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from collections.abc import Callable

DATA = Path(__file__).resolve().parent.parent / "data" / "placement_instances.json"
SIDE = Inches.parse("6")


@lru_cache(maxsize=1)
def _data() -> dict[str, Any]:
    return json.loads(DATA.read_text())


def _differences(colours: np.ndarray) -> np.ndarray:
    raw = deltaE_ciede2000(colours[:, None], colours[None])
    return (raw + raw.T) / 2 * (1 - np.eye(len(colours)))


@pytest.fixture
def instance() -> Callable[..., Request]:
    """Return a request by the name of its instance, with changes."""

    def make(name: str, **changes: Any) -> Request:
        entry = _data()["instances"][name]
        colours = np.array(_data()["palettes"][entry["palette"]])
        values: dict[str, Any] = {
            "setting": Setting(entry["kind"], entry["across"], entry["down"], SIDE),
            "colours": colours,
            "difference": _differences(colours),
            "copies": tuple(entry["copies"]),
        }
        return Request(**(values | changes))

    return make


@pytest.fixture
def reachable() -> Callable[[str], float | None]:
    """Return the largest least edge difference known for an instance."""
    return lambda name: _data()["instances"][name]["reachable"]


@pytest.fixture
def small() -> Callable[..., Request]:
    """Return a request with a few random colours on a small top."""

    def make(kind: str, across: int, down: int, kinds: int, seed: int = 0, **more: Any) -> Request:
        rng = np.random.default_rng(seed)
        colours = rng.uniform([20, -50, -50], [90, 50, 50], (kinds, 3))
        setting = Setting(kind, across, down, SIDE, more.pop("alternate", False))
        return Request(setting, colours, _differences(colours), **more)

    return make
