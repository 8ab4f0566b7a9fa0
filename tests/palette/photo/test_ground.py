"""Cloth on a table: made-up photos, so that its corners and its colour are known."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw
from scipy.ndimage import gaussian_filter

from palette.colour import difference, light_to_lab
from palette.fabric import NotCloth, Side
from palette.photo.edge import Edge, Limits, goes_on
from palette.photo.ground import cloth_corners, ground_edges
from palette.photo.quad import Quad
from palette.photo.read import Reading, read
from tests.bench import prints

DEMO = Path(__file__).resolve().parents[3] / "demo_swatches"
SIZE = (600, 450)
CORNERS = ((0.08, 0.06), (0.95, 0.1), (0.91, 0.94), (0.05, 0.9))
TABLE = np.array([0.25, 0.13, 0.06])
"""Light of brown wood."""


def on_a_table(kind: str, corners: tuple[tuple[float, float], ...] = CORNERS, seed: int = 5):
    """Photograph a cloth of a kind on a table that has a grain; its picture and its truth."""
    rng = np.random.default_rng(seed)
    drawn = prints.draw(kind, rng, *SIZE, 14)
    mask = Image.new("L", SIZE)
    ImageDraw.Draw(mask).polygon([(x * SIZE[0], y * SIZE[1]) for x, y in corners], fill=1)
    shows = np.asarray(mask) > 0
    grain = np.exp(0.1 * gaussian_filter(rng.normal(size=SIZE[::-1]), (0.7, 20)) * 5)
    light = np.where(shows[..., None], drawn.light, grain[..., None] * TABLE)
    taken = prints.photograph(prints.Print(kind, drawn.dyes, drawn.shares, light), rng, fall=0.2)
    return prints.jpeg(taken), light_to_lab(taken[shows].mean(axis=0)), shows


def as_read(data: bytes, **wish: object) -> Reading:
    return read(data, id="a", name="A", **wish)


@pytest.mark.parametrize("kind", ["solid", "dots", "floral", "plaid", "check"])
def test_the_table_is_cut_off_and_said(kind: str) -> None:
    data, lab, shows = on_a_table(kind)
    reading = as_read(data)
    assert reading.corners is not None
    mask = Image.new("L", SIZE)
    points = [(x * SIZE[0], y * SIZE[1]) for x, y in reading.corners.corners]
    ImageDraw.Draw(mask).polygon(points, fill=1)
    inside = np.asarray(mask) > 0
    assert (inside & ~shows).sum() <= 0.005 * inside.sum()
    assert inside.sum() > 0.85 * shows.sum()
    assert difference(reading.fabric.reads_as.array(), lab) < 1
    (said,) = reading.fabric.left_out
    assert said.what is NotCloth.GROUND
    assert set(said.sides) == set(Side)
    assert said.share == pytest.approx(1 - inside.mean(), abs=0.02)
    assert reading.across == 1.0


def test_the_picture_is_seen_straight_on_and_shows_no_table() -> None:
    data, lab, _ = on_a_table("solid")
    codes = np.asarray(Image.open(io.BytesIO(as_read(data).picture)), float) / 255
    for edge in (codes[:8], codes[-8:], codes[:, :8], codes[:, -8:]):
        seen = light_to_lab(np.where(edge > 0.04045, ((edge + 0.055) / 1.055) ** 2.4, edge / 12.92)
                            .mean(axis=(0, 1)))  # fmt: skip
        assert difference(seen, lab) < 6  # the light falls across it


def test_one_side_may_show_the_table_alone() -> None:
    data, lab, _ = on_a_table("dots", ((0, 0), (1, 0), (1, 0.88), (0, 0.84)))
    reading = as_read(data)
    assert reading.fabric.left_out[0].sides == (Side.LOWER,)
    assert difference(reading.fabric.reads_as.array(), lab) < 1


@pytest.mark.parametrize("kind", prints.KINDS)
@pytest.mark.parametrize("feature", [4, 14])
def test_a_photo_of_cloth_alone_has_no_ground(kind: str, feature: int) -> None:
    for seed in range(4):
        drawn = prints.draw(kind, np.random.default_rng(seed), 128, 96, feature)
        assert cloth_corners(drawn.light) is None


def test_what_is_blocked_is_neither_cloth_nor_ground() -> None:
    light = np.full((96, 128, 3), 0.2) * [0.4, 0.6, 1.0]
    light += np.random.default_rng(1).normal(0, 0.004, light.shape)
    light[:20] = 0.8
    assert ground_edges(light)[Side.UPPER] is not None
    paper = np.zeros((96, 128), np.bool_)
    paper[:22] = True
    assert not any(ground_edges(light, paper).values())


def test_corners_told_by_hand_go_before_those_found() -> None:
    data, *_ = on_a_table("dots")
    told = Quad(((0.3, 0.3), (0.7, 0.3), (0.7, 0.7), (0.3, 0.7)))
    reading = as_read(data, corners=told)
    assert reading.corners == told
    assert reading.fabric.left_out == ()
    picture = Image.open(io.BytesIO(reading.picture))
    assert picture.size == pytest.approx((0.4 * SIZE[0], 0.4 * SIZE[1]), abs=1)


def test_the_whole_photo_is_read_if_asked_for() -> None:
    data, lab, _ = on_a_table("solid")
    reading = as_read(data, whole=True)
    assert (reading.corners, reading.fabric.left_out) == (None, ())
    assert difference(reading.fabric.reads_as.array(), lab) > 2


def test_the_sample_photos_lose_nothing() -> None:
    for path in sorted(DEMO.glob("*.jpg")):
        reading = as_read(path.read_bytes(), white="auto")
        assert reading.fabric.left_out == (), path.name


def test_a_line_that_the_bands_of_a_plaid_cross_is_no_edge_of_the_table() -> None:
    rng = np.random.default_rng(3)
    rows, columns = (rng.choice([15.0, 45.0, 80.0], count).repeat(8) for count in (9, 12))
    lab = np.zeros((72, 96, 3))
    lab[..., 0] = (rows[:, None] + columns[None]) / 2
    lab[:16, :, 0] = rng.normal(50, 3, (16, 96))  # a table with a grain above the plaid

    def line(depth: int) -> Edge:
        return Edge(depth, depth, Limits(1.0, 1.0, 20.0), np.zeros(3))

    assert goes_on(lab, line(32))
    assert not goes_on(lab, line(16))
