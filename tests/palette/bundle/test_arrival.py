"""Whatever a photo shows comes in one way: one fabric is read, several are shown."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from skimage.color import deltaE_ciede2000, rgb2lab

from palette.bundle.arrival import arrive
from palette.bundle.result import BundleFault
from palette.bundle.several import may_be_several
from palette.photo.open import open_photo
from palette.photo.own_colour import in_own_colour
from palette.photo.quad import Quad
from palette.photo.read import read
from tests.palette.bundle.test_bundle import photo_of
from tests.palette.photo.test_ground import CORNERS, SIZE, on_a_table


def jpeg(image: Image.Image) -> bytes:
    out = io.BytesIO()
    image.save(out, "JPEG", quality=92)
    return out.getvalue()


def table(*, card: bool = False, size: float = 0.16) -> bytes:
    """Return a photo of six plain fabrics on a table, maybe with white paper beside them."""
    lefts, tops = (0.1, 0.35, 0.6), (0.15, 0.55)
    boxes = [(x, y, x + size, y + 1.4 * size) for y in tops for x in lefts]
    quads = [Quad(((a, b), (c, b), (c, d), (a, d))) for a, b, c, d in boxes]
    image = photo_of(quads).pixels
    # A table of another colour than white paper.
    pixels = np.asarray(image).copy()
    pixels[(pixels > 190).all(axis=2)] = (120, 96, 72)
    if card:
        pixels[300:440, 745:845] = (236, 234, 228)
    return jpeg(Image.fromarray(pixels))


def test_several_fabrics_are_shown_and_nothing_is_read_yet() -> None:
    arrival = arrive(table(), id="new", name="Bundle")
    assert arrival.reading is None
    assert arrival.proposal is not None
    assert len(arrival.proposal.found.pieces) == 6
    assert len(arrival.proposal.crops) == 6
    faults = {each.fault for each in arrival.proposal.found.warnings}
    assert not faults & {BundleFault.NO_CARD, BundleFault.CARD}


def test_white_paper_beside_them_is_none_of_them_and_is_told() -> None:
    arrival = arrive(table(card=True), id="new", name="Bundle")
    assert arrival.proposal is not None
    assert len(arrival.proposal.found.pieces) == 6
    assert BundleFault.CARD in {each.fault for each in arrival.proposal.found.warnings}


@pytest.mark.parametrize("kind", ["solid", "dots", "floral", "plaid"])
def test_one_fabric_on_a_table_is_read_and_its_copy_reads_alike(kind: str) -> None:
    data, lab, _ = on_a_table(kind)
    arrival = arrive(data, id="new", name="One")
    assert arrival.proposal is None
    assert arrival.reading is not None
    assert arrival.reading.corners is not None
    again = read(arrival.copy, id="new", name="One")
    for reading in (arrival.reading, again):
        assert deltaE_ciede2000(reading.fabric.reads_as.array(), lab) < 1


def test_what_is_told_to_be_one_fabric_is_one() -> None:
    assert arrive(table(), id="new", name="Print", several=False).reading is not None
    assert arrive(table(), id="new", name="Print", whole=True).reading is not None


def test_the_figures_of_a_print_are_no_fabrics() -> None:
    # Dots that lie apart on a ground, as fabrics do, but reach the photo's edge as a print does.
    image = np.full((600, 800, 3), (222, 214, 200), np.uint8)
    y, x = np.mgrid[:600, :800]
    image[((x % 100 - 50) ** 2 + (y % 100 - 10) ** 2) < 700] = (168, 62, 50)
    data = jpeg(Image.fromarray(image))
    assert not may_be_several(open_photo(data, "dots"))
    assert arrive(data, id="new", name="Dots").reading is not None


def test_a_copy_is_bounded_and_keeps_the_profile_alone(display_p3: bytes) -> None:
    noise = np.random.default_rng(3).normal(0, 5, (1800, 2000, 3)) + np.array([92, 140, 74])
    out = io.BytesIO()
    exif = Image.Exif()
    exif[0x013B] = "Somebody"
    image = Image.fromarray(np.clip(noise, 0, 255).astype(np.uint8))
    image.save(out, "JPEG", icc_profile=display_p3, exif=exif, comment=b"hello")
    copy = arrive(out.getvalue(), id="new", name="Leaf").copy
    with Image.open(io.BytesIO(copy)) as opened:
        assert opened.width * opened.height <= 2_000_000
        assert opened.info["icc_profile"] == display_p3
        assert not opened.getexif()
        assert "comment" not in opened.info


def test_corners_found_within_a_margin_are_those_in_the_photo() -> None:
    cloth, _, _ = on_a_table("dots", ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)))
    with Image.open(io.BytesIO(cloth)) as opened:
        page = Image.new("RGB", (SIZE[0] + 200, SIZE[1] + 100), (255, 255, 255))
        page.paste(opened, (150, 40))
    data = jpeg(page)
    reading = arrive(data, id="new", name="Page").reading
    assert reading is not None
    assert reading.corners is not None
    seen = reading.corners.array() * page.size
    left, top, right, bottom = 150, 40, 150 + SIZE[0], 40 + SIZE[1]
    true = np.array([[left, top], [right, top], [right, bottom], [left, bottom]])
    assert np.abs(seen - true).max() < 12
    told = read(data, id="new", name="Page", corners=reading.corners).fabric.reads_as
    assert deltaE_ciede2000(told.array(), reading.fabric.reads_as.array()) < 0.7


def test_a_colour_told_by_hand_is_what_cloth_and_picture_read_as() -> None:
    data, _, _ = on_a_table("floral")
    corners = Quad(CORNERS).part(0.1, 0.1, 0.9, 0.9)
    before = read(data, id="a", name="A", corners=corners)
    after = in_own_colour(before, "#7a3b4e")
    told = rgb2lab(np.array([0x7A, 0x3B, 0x4E]) / 255)
    assert deltaE_ciede2000(after.fabric.reads_as.array(), told) < 0.05
    assert after.fabric.photo == ""
    # A print stays one: as many colours, with the shares they had.
    assert [c.share for c in after.fabric.colours] == [c.share for c in before.fabric.colours]
    shown = read(after.picture, id="a", name="A", whole=True).fabric.reads_as
    assert deltaE_ciede2000(shown.array(), told) < 3
    with pytest.raises(ValueError, match="reddish"):
        in_own_colour(before, "reddish")


def test_the_squares_of_a_plaid_are_no_bundle() -> None:
    file = Path(__file__).parents[3] / "demo_swatches" / "harvest-plaid.jpg"
    arrival = arrive(file.read_bytes(), id="plaid", name="Harvest plaid")
    assert arrival.proposal is None
    assert arrival.reading is not None
