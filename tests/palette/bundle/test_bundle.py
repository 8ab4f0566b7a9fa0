"""Fabrics are found in one photo of a bundle, corrected by hand, and cut out straight."""

from __future__ import annotations

import io
from itertools import pairwise

import numpy as np
import pytest
from PIL import Image, ImageDraw
from skimage.transform import ProjectiveTransform

from palette.bundle.crop import Ruler, cut, shown
from palette.bundle.find import Lie, divided, find, tapped
from palette.bundle.outline import smallest_rectangle
from palette.bundle.pipeline import cleaned, corrected, propose
from palette.bundle.result import (
    BundleFault,
    BundleWarning,
    Found,
    Piece,
    cells,
    joined,
    moved,
    named,
    removed,
    split,
)
from palette.bundle.warnings import notes
from palette.colour import difference, light_to_lab
from palette.photo.open import Photo, histogram, open_photo
from palette.photo.quad import Quad, projection
from palette.photo.reduce import mean_light

TABLE = (222, 214, 200)
DYES = ((168, 62, 50), (84, 110, 52), (70, 96, 140), (204, 160, 48), (40, 40, 48), (190, 120, 160))
SLANT = np.array([[0.12, 0.1], [0.86, 0.16], [0.9, 0.88], [0.08, 0.82]])
"""Corners of a bundle seen at a slant."""


def photo_of(quads: list[Quad], size: tuple[int, int] = (900, 700)) -> Photo:
    """Return a photo of plain fabrics, each of the next dye, with some noise."""
    image = Image.new("RGB", size, TABLE)
    draw = ImageDraw.Draw(image)
    for number, quad in enumerate(quads):
        points = [tuple(point) for point in quad.array() * size]
        draw.polygon(points, fill=DYES[number % len(DYES)])
    noise = np.random.default_rng(5).normal(0, 3, (*size[::-1], 3))
    return Photo(
        Image.fromarray(np.clip(np.rint(np.asarray(image) + noise), 0, 255).astype(np.uint8))
    )


def furthest(first: Quad, second: Quad) -> float:
    return float(np.abs(first.array() - second.array()).max())


def found_of(quads: list[Quad]) -> Found:
    return Found("spread", 900, 700, named(quads))


@pytest.fixture(scope="module")
def apart() -> list[Quad]:
    """Return six fabrics with gaps between, seen at a slant."""
    return [cell.part(0.08, 0.1, 0.92, 0.9) for cell in cells(Quad.of(SLANT), 2, 3)]


def test_fabrics_with_gaps_are_found_in_reading_order(apart: list[Quad]) -> None:
    found = find(photo_of(apart), Lie("spread"))
    assert [piece.name for piece in found.pieces] == [f"Fabric {n}" for n in range(1, 7)]
    for piece, true in zip(found.pieces, apart, strict=True):
        assert furthest(piece.quad, true) < 0.006
    assert found.warnings == ()


@pytest.mark.slow
def test_a_grid_is_divided_by_its_counts() -> None:
    true = cells(Quad.of(SLANT), 2, 3)
    found = find(photo_of(true), Lie("grid", rows=2, columns=3))
    for piece, cell in zip(found.pieces, true, strict=True):
        assert furthest(piece.quad, cell) < 0.01


@pytest.mark.parametrize("upright", [False, True])
def test_the_borders_of_a_stack_are_found(upright: bool) -> None:
    borders = [0, 0.2, 0.32, 0.58, 0.7, 1.0]
    spans = pairwise(borders)
    boxes = [(a, 0, b, 1) if upright else (0, a, 1, b) for a, b in spans]
    true = [Quad.of(SLANT).part(*box) for box in boxes]
    found = find(photo_of(true), Lie("stack", count=5))
    for piece, strip in zip(found.pieces, true, strict=True):
        assert furthest(piece.quad, strip) < 0.015


@pytest.mark.slow
def test_a_white_card_is_no_fabric(apart: list[Quad]) -> None:
    photo = photo_of(apart[1:])
    card = [tuple(point) for point in apart[0].array() * photo.pixels.size]
    dark = Photo(Image.eval(photo.pixels, lambda value: value * 7 // 10))
    ImageDraw.Draw(dark.pixels).polygon(card, fill=(235, 235, 235))
    assert len(find(dark, Lie("spread")).pieces) == 6
    assert len(find(dark, Lie("spread"), card=True).pieces) == 5


def test_a_white_card_is_no_part_of_a_stack() -> None:
    strips = [Quad.of(SLANT).part(0, a, 0.8, b) for a, b in pairwise((0, 0.3, 0.62, 1.0))]
    photo = photo_of(strips)
    dark = Photo(Image.eval(photo.pixels, lambda value: value * 7 // 10))
    card = Quad.of(SLANT).part(0.84, 0.3, 1.0, 0.6).array() * photo.pixels.size
    ImageDraw.Draw(dark.pixels).polygon([tuple(point) for point in card], fill=(235, 235, 235))
    found = find(dark, Lie("stack", count=3), card=True)
    for piece, strip in zip(found.pieces, strips, strict=True):
        assert furthest(piece.quad, strip) < 0.015


def test_a_white_card_that_is_not_found_is_told(apart: list[Quad]) -> None:
    found = find(photo_of(apart), Lie("spread"), card=True)
    assert len(found.pieces) == 6
    assert found.warnings[0].fault == BundleFault.NO_CARD


@pytest.mark.parametrize("seed", [11, 23, 56, 60, 61, 62, 87, 100, 111])
@pytest.mark.parametrize(
    "lie", [Lie("spread"), Lie("grid", rows=1, columns=1), Lie("grid", rows=4, columns=2),
            Lie("stack", count=9)]
)  # fmt: skip
def test_any_picture_is_taken_apart_without_a_fault(seed: int, lie: Lie) -> None:
    rng = np.random.default_rng([41, seed])
    width, height = (int(side) for side in rng.integers(30, 300, 2))
    ground = np.full((height, width, 3), rng.integers(0, 256, 3)) + rng.normal(
        0, 9, (height, width, 1)
    )
    image = Image.fromarray(np.clip(ground, 0, 255).astype(np.uint8))
    draw = ImageDraw.Draw(image)
    for _ in range(int(rng.integers(0, 14))):
        corners = rng.uniform(-0.1, 1.1, (4, 2)) * [width, height]
        dye = tuple(int(part) for part in rng.integers(0, 256, 3))
        draw.polygon([tuple(corner) for corner in corners], fill=dye)
    found = find(Photo(image), lie)
    expected = {"grid": lie.rows * lie.columns, "stack": lie.count}
    assert len(found.pieces) == expected.get(lie.kind, len(found.pieces))


def test_a_bare_table_is_told() -> None:
    found = find(photo_of([]), Lie("spread"))
    assert found.pieces == ()
    assert found.warnings == (BundleWarning(BundleFault.NOTHING),)


def test_a_fabric_cut_off_by_the_photo_is_told() -> None:
    quads = [Quad.of(np.array([[0, 0.3], [0.3, 0.3], [0.3, 0.7], [0, 0.7]]))]
    found = find(photo_of(quads), Lie("spread"))
    assert found.warnings[0] == BundleWarning(BundleFault.CUT_OFF, pieces=(0,))


@pytest.mark.slow
def test_a_place_that_stays_empty_in_a_row_is_told(apart: list[Quad]) -> None:
    found = find(photo_of([*apart[:1], *apart[2:]]), Lie("spread"))
    assert found.warnings == (BundleWarning(BundleFault.SHORT_ROW, row=1, holds=2, others=3),)
    assert find(photo_of(apart[:5]), Lie("spread")).warnings == (), "the last row may be short"


def test_fabrics_on_a_checked_cloth_are_found_and_its_squares_are_not(apart: list[Quad]) -> None:
    photo = photo_of(apart)
    # A gingham: two crossing colours in even stripes; squares of the lightest meet at corners
    # only, and only one side of the photo cuts some of them.
    down, across = np.indices(photo.pixels.size[::-1])
    stripes = (across // 50 % 2 == 0) + 1.0 * (down // 56 % 2 == 0)
    check = np.array([[236, 236, 236], [188, 222, 210], [140, 208, 184]])[stripes.astype(int)]
    cloth = np.asarray(photo.pixels)
    plain = np.abs(cloth - np.array(TABLE)).max(axis=-1) < 20
    noise = np.random.default_rng(6).normal(0, 2, cloth.shape)
    seen = np.where(plain[..., None], np.clip(np.rint(check + noise), 0, 255), cloth)
    found = find(Photo(Image.fromarray(seen.astype(np.uint8))), Lie("spread"))
    assert len(found.pieces) == 6
    for piece, true in zip(found.pieces, apart, strict=True):
        assert furthest(piece.quad, true) < 0.01


def test_two_small_fabrics_beside_each_other_stay_two() -> None:
    # Three large ones above; below two that are lower than usual, with little between them.
    above = cells(Quad.of(np.array([[0.1, 0.1], [0.9, 0.1], [0.9, 0.5], [0.1, 0.5]])), 1, 3)
    below = cells(Quad.of(np.array([[0.1, 0.6], [0.9, 0.6], [0.9, 0.8], [0.1, 0.8]])), 1, 3)
    true = [cell.part(0.06, 0, 0.94, 1) for cell in (*above, *below)]
    found = find(photo_of(true), Lie("spread"))
    assert len(found.pieces) == 6
    for piece, quad in zip(found.pieces, true, strict=True):
        assert furthest(piece.quad, quad) < 0.01


def test_a_grid_with_fabrics_like_shadow_at_its_side_keeps_its_outline() -> None:
    true = cells(Quad.of(SLANT), 4, 4)
    photo = photo_of(true)
    # Two on the left, in the table's colour in less light.
    for cell in (true[8], true[12]):
        corners = [tuple(point) for point in cell.array() * photo.pixels.size]
        ImageDraw.Draw(photo.pixels).polygon(corners, fill=tuple(part * 3 // 4 for part in TABLE))
    found = find(photo, Lie("grid", rows=4, columns=4))
    for piece, cell in zip(found.pieces, true, strict=True):
        assert furthest(piece.quad, cell) < 0.012


def test_a_fabric_like_the_table_is_added_by_a_tap() -> None:
    photo = photo_of([])
    true = Quad.of(np.array([[0.3, 0.3], [0.6, 0.32], [0.58, 0.7], [0.28, 0.66]]))
    # About 4 from the table in CIEDE2000.
    near = tuple(int(part) for part in np.array(TABLE) - [12, 10, 12])
    ImageDraw.Draw(photo.pixels).polygon(
        [tuple(point) for point in true.array() * photo.pixels.size], fill=near
    )
    found = tapped(found_of([]), photo, (0.45, 0.5))
    assert furthest(found.pieces[0].quad, true) < 0.015
    with pytest.raises(ValueError, match="lies there already"):
        tapped(found, photo, (0.45, 0.5))


def test_a_cut_is_straight_and_shows_nothing_else(apart: list[Quad]) -> None:
    photo = photo_of(apart)
    found = Found("spread", *photo.pixels.size, named(apart))
    for number in range(len(apart)):
        pixels = np.asarray(cut(photo, found, number).pixels).reshape(-1, 3)
        assert np.abs(pixels - np.array(DYES[number])).max() < 30
        assert np.abs(pixels.mean(axis=0) - DYES[number]).max() < 1


def test_the_size_follows_from_an_edge_or_a_ruler() -> None:
    quad = Quad.of(np.array([[0.1, 0.1], [0.5, 0.1], [0.5, 0.5], [0.1, 0.5]]))
    found = Found("spread", 1000, 1000, named([quad]))
    # A tenth is left away on each side of a ten-inch square.
    assert shown(found, 0, edge=10.0, ruler=None) == pytest.approx(8)
    ruler = Ruler((0.0, 0.9), (0.6, 0.9), 12.0)
    assert shown(found, 0, edge=None, ruler=ruler) == pytest.approx(6.4)
    assert shown(found, 0, edge=None, ruler=None) is None


def test_corrections_leave_the_other_pieces_as_they_are(apart: list[Quad]) -> None:
    found = found_of(apart)
    assert moved(found, 1, 0, (0.5, 0.15)).pieces[1].quad.corners[0] == (0.5, 0.15)
    two = split(found, 0, across=True, at=0.4)
    assert two.pieces[2:] == found.pieces[1:]
    assert two.pieces[0].quad.area + two.pieces[1].quad.area == pytest.approx(
        apart[0].area, rel=1e-3
    )
    one = joined(two, 0, 1)
    assert furthest(one.pieces[0].quad, apart[0]) < 0.02
    assert one.pieces[1:] == found.pieces[1:]
    assert removed(found, 2).pieces == found.pieces[:2] + found.pieces[3:]


def test_a_new_piece_gets_a_name_of_its_own(apart: list[Quad]) -> None:
    found = Found("spread", 900, 700, (Piece("Rose", apart[0]), Piece("Rose (2)", apart[1])))
    names = [piece.name for piece in split(found, 0, across=False).pieces]
    assert names == ["Rose", "Rose (3)", "Rose (2)"]


def test_an_outline_given_by_hand_is_divided(apart: list[Quad]) -> None:
    photo = photo_of(cells(apart[0], 1, 2))
    found = divided(found_of([]), photo, apart[0], Lie("grid", rows=1, columns=2))
    assert [piece.quad for piece in found.pieces] == cells(apart[0], 1, 2)


@pytest.mark.parametrize(
    "corners",
    [
        ((0, 0), (1, 0), (1, 1), (0, 1.2)),
        ((0, 0), (0, 1), (1, 1), (1, 0)),
        ((0.1, 0.1), (0.9, 0.1), (0.2, 0.2), (0.1, 0.9)),
        ((0.1, 0.1), (0.1, 0.1), (0.1, 0.1), (0.1, 0.1)),
    ],
    ids=["outside", "the other way round", "dented", "a point"],
)
def test_corners_that_enclose_nothing_are_refused(corners: tuple[tuple[float, float], ...]) -> None:
    with pytest.raises(ValueError, match="corner"):
        Quad.given(corners)


def test_the_projection_agrees_with_a_reference_library() -> None:
    before = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    reference = ProjectiveTransform.from_estimate(before, SLANT)
    ours = projection(before, SLANT)
    np.testing.assert_allclose(ours, reference.params / reference.params[2, 2], atol=1e-9)


def test_points_on_one_line_have_a_rectangle_without_breadth() -> None:
    found = smallest_rectangle(np.array([[2.0, 3.0], [4.0, 5.0], [7.0, 8.0], [9.0, 10.0]]))
    lengths = np.linalg.norm(np.roll(found, -1, axis=0) - found, axis=1)
    assert sorted(lengths) == pytest.approx([0, 0, 98**0.5, 98**0.5], abs=1e-3)


def test_the_smallest_rectangle_of_a_turned_one_is_itself() -> None:
    turn = np.array([[np.cos(0.3), -np.sin(0.3)], [np.sin(0.3), np.cos(0.3)]])
    corners = np.array([[0, 0], [40, 0], [40, 20], [0, 20]]) @ turn.T
    found = smallest_rectangle(np.vstack([corners, corners.mean(axis=0)]))
    for corner in corners:
        assert np.hypot(*(found - corner).T).min() < 1e-2


def test_the_cleaned_copy_keeps_the_colour_of_a_fine_print() -> None:
    # Dots of 2 pixels, as a print is in a photo of forty fabrics.
    down, across = np.indices((240, 240)) // 2 % 2
    dots = np.where((down & across)[..., None], (20, 140, 230), (56, 36, 20)).astype(np.uint8)
    photo = Photo(Image.fromarray(dots))
    kept = open_photo(cleaned(photo), "copy.jpg")
    reads = [light_to_lab(mean_light(histogram(one), one.meaning)) for one in (photo, kept)]
    assert float(difference(*reads)) < 0.3


def test_the_cleaned_copy_keeps_the_profile_and_nothing_else() -> None:
    photo = Photo(Image.new("RGB", (3000, 2000), (10, 200, 30)), profile=b"made up")
    with Image.open(io.BytesIO(cleaned(photo))) as copy:
        assert copy.size[0] * copy.size[1] < 4_000_000
        assert copy.info["icc_profile"] == b"made up"
        assert not copy.getexif()
    assert open_photo(cleaned(photo), "copy").pixels.size == copy.size


def test_what_was_assumed_of_a_bundle_photos_colours_is_said_and_stays_said() -> None:
    inks = Image.new("CMYK", (600, 400), (10, 10, 20, 5))
    inks.paste((0, 200, 180, 20), (100, 100, 250, 300))
    inks.paste((200, 90, 0, 20), (350, 100, 500, 300))
    out = io.BytesIO()
    inks.save(out, "JPEG", quality=95)
    picture, proposal = propose(out.getvalue(), "table.jpg", Lie("spread"))
    assert BundleFault.COLOURS_ASSUMED in {each.fault for each in proposal.found.warnings}
    after = corrected(picture, proposal.found, "remove", {"number": 0})
    assert BundleFault.COLOURS_ASSUMED in {each.fault for each in after.found.warnings}


def test_a_piece_much_smaller_than_the_others_is_named() -> None:
    def found(*sides: float) -> Found:
        quads = [
            Quad(
                ((k / 4, 0.3), (k / 4 + side, 0.3), (k / 4 + side, 0.3 + side), (k / 4, 0.3 + side))
            )
            for k, side in enumerate(sides)
        ]
        return Found("spread", 900, 700, tuple(Piece(f"Piece {k}", q) for k, q in enumerate(quads)))

    (told,) = [each for each in notes(found(0.2, 0.2, 0.2, 0.1)) if each.fault == "fragment"]
    assert told.pieces == (3,)
    # A fat eighth beside fat quarters is half as large, and no fragment.
    assert all(each.fault != "fragment" for each in notes(found(0.2, 0.2, 0.2, 0.142)))
