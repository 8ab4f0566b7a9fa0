"""What is told of patches is what squares cut from the picture show, and its judge can say no."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import lru_cache

import numpy as np
import pytest
from PIL import Image
from scipy import ndimage

from palette.checks.patches import PatchFaultKind, Told, judge_patches
from palette.colour import Lab
from palette.fabric import Fabric, Share
from palette.photo.read import Reading, read
from palette.picking.choice import Limits
from palette.picking.contrast import judge
from palette.picking.patches import patches, sinking_patches

SIDE = 320
SIZES = (0.06, 0.15, 0.3, 0.45)
NAVY, CREAM, RUST = (30, 40, 90), (240, 230, 205), (180, 80, 40)
LINEN = Fabric("linen", "Linen", Lab(91.5, -0.3, 13), (Share(Lab(91.5, -0.3, 13), 1.0),))


def drawn(labels: np.ndarray, colours: list[tuple[int, int, int]]) -> Reading:
    pixels = np.array(colours, dtype=np.uint8)[labels]
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, "PNG")
    return read(out.getvalue(), id="x", name="X", whole=True)


@lru_cache(maxsize=16)
def clouds(seed: int) -> Reading:
    """Return a print of patches of two to four colours, as large as the seed says."""
    random = np.random.default_rng(seed)
    many = int(random.integers(2, 5))
    field = ndimage.gaussian_filter(random.normal(size=(SIDE, SIDE)), random.uniform(4, 40))
    borders = np.quantile(field, np.sort(random.uniform(0.1, 0.9, many - 1)))
    lab = random.integers(20, 250, (many, 3))
    return drawn(np.digitize(field, borders), [tuple(each) for each in lab.tolist()])


@lru_cache(maxsize=1)
def bold() -> Reading:
    """Return broad stripes of navy, rust and cream, of which cream is gone on linen."""
    stripe = np.arange(SIDE) // 40 % 4
    labels = np.array([0, 2, 0, 1])[stripe]
    return drawn(np.broadcast_to(labels, (SIDE, SIDE)), [NAVY, CREAM, RUST])


def said(fabric: Fabric, side: float, ground: Fabric | None = LINEN) -> Told:
    shown = patches(fabric, side)
    assert shown is not None
    sink = sinking_patches(fabric, ground, side, Limits()) if ground else None
    return Told(shown.leads, shown.apart, sink)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(5))
def test_what_is_told_of_any_print_is_what_its_picture_shows(seed: int) -> None:
    reading = clouds(seed)
    for side in SIZES:
        told = said(reading.fabric, side)
        assert not judge_patches(
            reading.fabric, reading.picture, [side], told, background=LINEN, limits=Limits()
        )


def test_small_patches_sink_though_the_whole_stands_out_and_large_ones_do_not() -> None:
    fabric = bold().fabric
    (whole,) = judge([fabric], [LINEN])
    assert whole.verdict in ("clear", "soft")
    # Of squares half as wide as a stripe of four, those at least half in the cream one sink.
    assert said(fabric, 1 / 16).sink == pytest.approx(1 / 4, abs=0.06)
    assert said(fabric, 1.0).sink == 0


def test_a_share_told_of_patches_lies_between_none_and_all() -> None:
    for seed in range(5):
        for side in (0.01, *SIZES, 1.0, 3.0):
            told = said(clouds(seed).fabric, side)
            assert sum(told.leads) == pytest.approx(1)
            assert told.sink is not None
            assert 0 <= told.sink <= 1
            assert told.apart >= 0
        assert said(clouds(seed).fabric, 3.0).apart == 0


def test_nothing_is_told_of_a_print_that_was_not_looked_at_that_way() -> None:
    fabric = bold().fabric
    assert fabric.print is not None
    earlier = replace(fabric, print=replace(fabric.print, squares=None))
    assert patches(earlier, 0.2) is None
    assert sinking_patches(earlier, LINEN, 0.2, Limits()) is None


@pytest.mark.parametrize(
    ("planted", "kind"),
    [
        (lambda told: replace(told, sink=0.8), PatchFaultKind.SINK),
        (lambda told: replace(told, apart=0.0), PatchFaultKind.APART),
        (lambda told: replace(told, apart=told.apart * 2), PatchFaultKind.APART),
        (lambda told: replace(told, leads=told.leads[1:] + told.leads[:1]), PatchFaultKind.LEADS),
        # Told of patches as large as the whole.
        (lambda _: said(bold().fabric, 1.0), PatchFaultKind.APART),
    ],
)
def test_the_judge_finds_what_is_told_wrongly(planted, kind) -> None:  # type: ignore[no-untyped-def]
    reading = bold()
    told = said(reading.fabric, 1 / 16)
    for one, expected in ((told, set()), (planted(told), {kind})):
        found = judge_patches(
            reading.fabric, reading.picture, [1 / 16], one, background=LINEN, limits=Limits()
        )
        assert {each.kind for each in found} >= expected
        assert bool(found) == bool(expected)
