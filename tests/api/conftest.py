"""A server in this process, photos made on the spot, and a plan to change."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from fastapi.testclient import TestClient
from PIL import Image

from api.pattern.brief import Brief
from api.pattern.edits import change_brief, with_swatch
from api.pattern.planner import make
from api.photos.intake import take_in
from api.photos.worker_pool import Reader
from api.storage.store import Draft, Saved, Store
from api.web.app import create_app
from api.web.workspace import draft_of
from palette.photo.read import read
from placement.inches import Inches
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from fastapi import FastAPI

COLOURS = {
    "brick": (168, 62, 50),
    "moss": (84, 110, 52),
    "slate blue": (70, 96, 140),
    "mustard": (204, 160, 48),
}


class KeptReader(Reader):
    """A reader whose children live on when an app that borrowed it ends."""

    def close(self) -> None:
        """Keep the children."""


def jpeg(colour: tuple[int, int, int], side: int = 96, **kwargs: Any) -> bytes:
    """Return a photo of a nearly plain fabric."""
    rng = np.random.default_rng(7)
    pixels = np.clip(np.array(colour) + rng.normal(0, 4, (side, side, 3)), 0, 255)
    out = io.BytesIO()
    Image.fromarray(pixels.astype(np.uint8)).save(out, "JPEG", quality=92, **kwargs)
    return out.getvalue()


@pytest.fixture(scope="session")
def photo() -> Callable[..., bytes]:
    """Return the maker of photos."""
    return jpeg


@pytest.fixture(scope="session")
def reader() -> Iterator[Reader]:
    """Return a reader with one child, shared by all tests."""
    kept = KeptReader(1)
    yield kept
    Reader.close(kept)


@pytest.fixture(scope="session")
def finished() -> Draft:
    """Return a small finished quilt of four fabrics."""
    brief, pictures = Brief(title="Small quilt"), {}
    for name, colour in {**COLOURS, "linen": (238, 232, 216)}.items():
        intake = take_in(read(jpeg(colour), id="new", name=name))
        pictures[intake.swatch.picture] = intake.picture
        brief = with_swatch(brief, intake.swatch, "background" if name == "linen" else "fabric")
    setting = Setting("straight", 3, 2, Inches.parse(6))
    plan = make(change_brief(brief, {"setting": setting}))
    return draft_of(plan, "Began", pictures)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """Return an empty store."""
    opened = Store(tmp_path / "plans.sqlite3")
    yield opened
    opened.close()


@pytest.fixture
def app(store: Store, reader: Reader) -> FastAPI:
    """Return the program on that store."""
    return create_app(store, reader=reader)


@pytest.fixture
def client(app: FastAPI) -> Iterator[TestClient]:
    """Return a client of the program, on this machine."""
    with TestClient(app, base_url="http://127.0.0.1") as opened:
        yield opened


@pytest.fixture
def plan(store: Store, finished: Draft) -> Saved:
    """Return a kept plan with a layout."""
    return store.add(finished)
