"""What may be wrong with a photo, in words: every kind, with its numbers and names."""

from __future__ import annotations

import pytest

from api.wording.photos import bundle_warning, photo_left_out, photo_warning
from palette.bundle.result import BundleFault, BundleWarning, Found, Piece
from palette.fabric import CutAway, NotCloth, PhotoFault, PhotoWarning, Side
from palette.photo.quad import Quad
from palette.photo.warnings import SHORTEST_GOOD

HOSTILE = 'Moss: dark, no. 2 (and "ink") {size}'


@pytest.mark.parametrize("fault", PhotoFault)
def test_every_fault_is_told_with_what_to_do(fault: PhotoFault) -> None:
    said = photo_warning(PhotoWarning(fault, 0.583, (260, 190), Side.LOWER, "As told before."))
    assert said.endswith(".")
    assert "{" not in said
    assert said[0].isupper() or said.startswith("58 %")


def test_numbers_and_sides_of_a_warning_are_told() -> None:
    assert "only 260 x 190 pixels" in photo_warning(
        PhotoWarning(PhotoFault.FEW_PIXELS, size=(260, 190))
    )
    assert photo_warning(PhotoWarning(PhotoFault.TOO_BRIGHT, share=0.498)).startswith("50 % of the")
    stray = photo_warning(PhotoWarning(PhotoFault.FOREIGN_OBJECT, share=0.1, side=Side.LOWER))
    assert "at its lower edge" in stray
    few = photo_warning(PhotoWarning(PhotoFault.FEW_PIXELS_IN_BUNDLE, size=(190, 300)))
    assert f"less than {SHORTEST_GOOD} pixels across" in few


def test_what_an_earlier_version_told_is_told_in_its_words() -> None:
    told = "5% of it is {odd}."
    assert photo_warning(PhotoWarning(PhotoFault.EARLIER, told=told)) == told


@pytest.mark.parametrize(
    ("found", "said"),
    [
        (
            CutAway(NotCloth.MARGIN, 0.2, tuple(Side)),
            "Cut off: the margin all round, 20 % of the photo.",
        ),
        (
            CutAway(NotCloth.GROUND, 0.12, (Side.LOWER, Side.LEFT)),
            "Cut off: the table at its lower and left edges, 12 % of the photo.",
        ),
        (
            CutAway(NotCloth.PAPER, 0.08, box=(0.02, 0.05, 0.3, 0.2)),
            "Cut off: white paper at the upper left, 8 % of the photo.",
        ),
        (
            CutAway(NotCloth.PAPER, 0.08, box=(0.4, 0.4, 0.6, 0.6)),
            "Cut off: white paper at the middle, 8 % of the photo.",
        ),
        (CutAway(NotCloth.PAPER, 0.08), "Cut off: white paper, 8 % of the photo."),
    ],
)
def test_what_was_left_out_is_told_with_its_place(found: CutAway, said: str) -> None:
    assert photo_left_out(found) == said


@pytest.mark.parametrize("fault", BundleFault)
def test_every_fault_of_a_bundle_is_told(fault: BundleFault) -> None:
    square = Quad(((0.0, 0.0), (0.3, 0.0), (0.3, 0.3), (0.0, 0.3)))
    found = Found("spread", 800, 600, tuple(Piece(f"Fabric {n}", square) for n in range(1, 8)))
    said = bundle_warning(found, BundleWarning(fault, tuple(range(7)), row=1, holds=2, others=3))
    assert said.endswith(".")
    assert "{" not in said


def test_pieces_are_named_and_many_of_them_counted() -> None:
    square = Quad(((0.0, 0.0), (0.3, 0.0), (0.3, 0.3), (0.0, 0.3)))
    found = Found("spread", 800, 600, (Piece(HOSTILE, square), *(Piece("Oat", square),) * 5))
    one = bundle_warning(found, BundleWarning(BundleFault.SMALL, (0,)))
    assert one.startswith(f"{HOSTILE} is small in the photo")
    many = bundle_warning(found, BundleWarning(BundleFault.SMALL, (0, 1, 2, 3, 4)))
    assert many.startswith(f"{HOSTILE}, Oat and 3 more are small")
    row = bundle_warning(found, BundleWarning(BundleFault.SHORT_ROW, row=1, holds=1, others=3))
    assert row.startswith("Row 1 holds 1 fabric and others 3.")
