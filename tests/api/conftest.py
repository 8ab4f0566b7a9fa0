"""A server in this process, photos made on the spot, an invented bundle, a plan to change.

What is imported is imported by the fixture that needs it: a test of drawings
loads no server.
"""

from __future__ import annotations

import colorsys
import io
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from fastapi import FastAPI
    from fastapi.testclient import TestClient

    from api.pattern.brief import Brief
    from api.photos.worker_pool import Reader
    from api.storage.kept import Draft, Saved
    from api.storage.store import Store
    from api.web.press import Press
    from palette.fabric import Fabric

COLOURS = {
    "brick": (168, 62, 50),
    "moss": (84, 110, 52),
    "slate blue": (70, 96, 140),
    "mustard": (204, 160, 48),
}


WHOLE = {"Prefer": "return=representation"}
"""Asks for the whole plan in answer to a change (RFC 7240, 4.2)."""


def jpeg(colour: tuple[int, int, int], side: int = 96, **kwargs: Any) -> bytes:
    """Return a photo of a nearly plain fabric."""
    import numpy as np
    from PIL import Image

    rng = np.random.default_rng(7)
    pixels = np.clip(np.array(colour) + rng.normal(0, 4, (side, side, 3)), 0, 255)
    out = io.BytesIO()
    Image.fromarray(pixels.astype(np.uint8)).save(out, "JPEG", quality=92, **kwargs)
    return out.getvalue()


def _solid(name: str, lightness: float, a: float, b: float) -> Fabric:
    from palette.colour import Lab
    from palette.fabric import Fabric, Share

    colour = Lab(lightness, a, b)
    return Fabric(name.lower().replace(" ", "-"), name, colour, (Share(colour, 1.0),))


@pytest.fixture(scope="session")
def brief() -> Brief:
    """Return a brief of 12 invented solids, two of them twins, on two backgrounds."""
    from api.pattern.brief import Brief
    from api.pattern.swatch import Swatch
    from placement.inches import Inches
    from placement.top.setting.setting import Setting

    fabrics = []
    for index in range(12):
        hue, value = index / 12, 0.45 + 0.12 * (index % 3)
        red, green, blue = colorsys.hsv_to_rgb(hue, 0.6, value)
        lightness = 25 + 20 * (index % 3)
        fabrics.append(_solid(f"Solid {index}", lightness, 80 * (red - green), 80 * (green - blue)))
    first = fabrics[0].reads_as
    fabrics.append(_solid("Twin of 0", first.lightness + 0.5, first.a, first.b))
    fabrics.append(_solid("Nearly linen", 93, 1, 6))
    grounds = [_solid("Linen", 94, 0, 6), _solid("Ink", 12, 2, -8)]
    return Brief(
        title="Test quilt",
        swatches=tuple(Swatch(fabric, "0" * 64) for fabric in fabrics),
        backgrounds=tuple(Swatch(fabric, "1" * 64) for fabric in grounds),
        background="linen",
        count=8,
        setting=Setting("on point", 4, 5, Inches.parse("8 1/2")),
    )


@pytest.fixture(scope="session")
def photo() -> Callable[..., bytes]:
    """Return the maker of photos."""
    return jpeg


@pytest.fixture(scope="session")
def reader() -> Iterator[Reader]:
    """Return a reader with one child, shared by all tests."""
    from api.photos.worker_pool import Reader

    class KeptReader(Reader):
        """A reader whose children live on when an app that borrowed it ends."""

        def close(self) -> None:
            """Keep the children."""

    kept = KeptReader(1)
    yield kept
    Reader.close(kept)


@pytest.fixture(scope="session")
def press() -> Iterator[Press]:
    """Return a press with one child, shared by all tests."""
    from api.web.press import Press

    class KeptPress(Press):
        """A press whose child lives on when an app that borrowed it ends."""

        def close(self) -> None:
            """Keep the child."""

    kept = KeptPress(1)
    yield kept
    Press.close(kept)


@pytest.fixture(scope="session")
def finished() -> Draft:
    """Return a small finished quilt of four fabrics."""
    from api.pattern.brief import Brief
    from api.pattern.edits import change_brief, with_swatch
    from api.pattern.planner import make
    from api.photos.intake import take_in
    from api.web.workspace import draft_of
    from palette.photo.read import read
    from placement.inches import Inches
    from placement.top.setting.setting import Setting

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
    from api.storage.store import Store

    opened = Store(tmp_path / "plans.sqlite3")
    yield opened
    opened.close()


@pytest.fixture
def app(store: Store, reader: Reader, press: Press) -> FastAPI:
    """Return the program on that store."""
    from api.web.app import create_app

    return create_app(store, reader=reader, press=press)


@pytest.fixture
def client(app: FastAPI) -> Iterator[TestClient]:
    """Return a client of the program, on this machine, that wants whole plans as answers."""
    from fastapi.testclient import TestClient

    with TestClient(app, base_url="http://127.0.0.1", headers=WHOLE) as opened:
        yield opened


@pytest.fixture
def plan(store: Store, finished: Draft) -> Saved:
    """Return a kept plan with a layout."""
    return store.add(finished)
