"""Opening photos: everything a phone, a camera or a stranger may hand over."""

from __future__ import annotations

import contextlib
import io
import struct
import sys
import zlib
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageCms, ImageDraw, features

from palette.colour import light_to_srgb
from palette.photo.open import (
    MOST_BYTES,
    Photo,
    PhotoError,
    histogram,
    inside,
    light_of,
    middle,
    open_photo,
    shrunk,
)
from tests.profiles import sampled

if TYPE_CHECKING:
    from collections.abc import Callable

ORIENTATION = 0x0112
"""The tag's number in EXIF 2.32, 4.6.4."""


def encoded(image: Image.Image, kind: str = "PNG", **options: Any) -> bytes:
    out = io.BytesIO()
    image.save(out, kind, **options)
    return out.getvalue()


def plain(width: int = 60, height: int = 40, colour: Any = (190, 40, 60)) -> Image.Image:
    return Image.new("RGB", (width, height), colour)


def mean(photo: Photo) -> np.ndarray:
    """Mean of a photo as sRGB, 0 to 255."""
    light, counts = light_of(photo)
    return 255 * light_to_srgb(light[counts].mean(axis=0))


def chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def png_of_size(width: int, height: int) -> bytes:
    """Make a PNG that claims a size and holds next to no pixels."""
    header = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
    pixels = chunk(b"IDAT", zlib.compress(bytes(1000)))
    return b"\x89PNG\r\n\x1a\n" + header + pixels + chunk(b"IEND", b"")


def jpeg_of_size(width: int, height: int, start_of_frame: bytes = b"\xff\xc0") -> bytes:
    """Make a JPEG that claims a size; FFC2 as start of frame makes it progressive."""
    data = encoded(plain(), "JPEG")
    at = data.index(b"\xff\xc0")
    size = struct.pack(">HH", height, width)
    return data[:at] + start_of_frame + data[at + 2 : at + 5] + size + data[at + 9 :]


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "WEBP", "MPO", "AVIF", "TIFF"])
def test_every_format_of_phones_and_cameras_is_read(kind: str) -> None:
    options = {"quality": 95} if kind not in ("PNG", "TIFF") else {}
    if kind == "MPO":
        options |= {"save_all": True, "append_images": [plain(colour="black")]}
    photo = open_photo(encoded(plain(), kind, **options), "Red")
    assert photo.pixels.size == (60, 40)
    assert mean(photo) == pytest.approx([190, 40, 60], abs=3)


def test_heic_is_read_where_its_extra_is_installed() -> None:
    heif = pytest.importorskip("pillow_heif", reason="the extra that reads HEIC is not installed")
    image = plain(64, 32)
    image.paste("white", (0, 0, 16, 32))
    out = io.BytesIO()
    exif = Image.Exif()
    exif[ORIENTATION] = 6
    heif.from_pillow(image).save(out, quality=90, exif=exif.tobytes())
    photo = open_photo(out.getvalue(), "Red")
    # The library turns the pixels itself, so they must not be turned twice.
    assert sorted(photo.pixels.size) == [32, 64]
    assert photo.pixels.getpixel(
        (photo.pixels.width - 4, photo.pixels.height - 4)
    ) == pytest.approx((190, 40, 60), abs=8)


def test_heic_without_the_extra_says_what_to_do(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pillow_heif", None)
    with pytest.raises(PhotoError, match=r"'IMG_1' is a HEIC photo; .* save it as JPEG .*heic"):
        open_photo(b"\0\0\0\x18ftypheic" + bytes(40), "IMG_1")


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "WEBP", "AVIF", "TIFF"])
@pytest.mark.parametrize("orientation", range(1, 9))
def test_all_eight_orientations_come_upright(kind: str, orientation: int) -> None:
    # EXIF 2.32, 4.6.4 A: where row 0 and column 0 of the stored picture belong.
    upright = plain(64, 48, "white")
    ImageDraw.Draw(upright).rectangle((0, 0, 20, 12), fill="black")
    stored = {
        1: [],
        2: [Image.Transpose.FLIP_LEFT_RIGHT],
        3: [Image.Transpose.ROTATE_180],
        4: [Image.Transpose.FLIP_TOP_BOTTOM],
        5: [Image.Transpose.TRANSPOSE],
        6: [Image.Transpose.ROTATE_90],
        7: [Image.Transpose.TRANSVERSE],
        8: [Image.Transpose.ROTATE_270],
    }[orientation]
    image = upright
    for turn in stored:
        image = image.transpose(turn)
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    photo = open_photo(encoded(image, kind, exif=exif), "Corner")
    assert photo.pixels.size == upright.size
    apart = np.abs(np.asarray(photo.pixels, dtype=int) - np.asarray(upright, dtype=int))
    assert apart.mean() < 3


def test_a_broken_exif_block_is_passed_over() -> None:
    data = encoded(plain(), "JPEG", exif=b"Exif\0\0MM\0*\0\0\0\x08\xff\xff\x01\x12")
    assert open_photo(data, "Red").pixels.size == (60, 40)


def test_display_p3_is_followed_beyond_srgb(display_p3: bytes) -> None:
    photo = open_photo(encoded(plain(colour=(255, 0, 0)), icc_profile=display_p3), "Red")
    light, _ = light_of(photo)
    assert light[0, 0, 0] > 1.2
    assert light[0, 0, 1] < -0.03


@pytest.mark.parametrize("mode", ["RGB", "RGBA", "L", "P"])
def test_a_profile_counts_in_every_mode(mode: str, make_profile: Callable[..., bytes]) -> None:
    profile = make_profile("Adobe RGB (1998)", sampled(256))
    image = plain(colour=(128, 128, 128)).convert(mode)
    photo = open_photo(encoded(image, icc_profile=profile), "Grey")
    # A straight curve: 128 of 255 is half the light, which sRGB writes as 188.
    assert mean(photo) == pytest.approx([188, 188, 188], abs=1)


@pytest.mark.parametrize("mode", ["RGB", "L", "CMYK"])
def test_a_profile_of_the_wrong_kind_does_no_harm(mode: str, display_p3: bytes) -> None:
    lab = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes()
    image = plain(colour=(128, 128, 128)).convert(mode)
    for profile in (lab, display_p3, b"junk" * 40):
        data = encoded(image, "JPEG", quality=100, icc_profile=profile)
        assert mean(open_photo(data, "Grey")) == pytest.approx([128, 128, 128], abs=2)


def test_a_grey_profile_is_followed_by_little_cms(display_p3: bytes) -> None:
    # A monochrome input profile needs white and kTRC alone (ICC.1:2022, 8.3.4).
    grey = display_p3.replace(b"RGB XYZ ", b"GRAYXYZ ").replace(b"rTRC", b"kTRC")
    image = plain(colour=(100, 100, 100)).convert("L")
    assert mean(open_photo(encoded(image, icc_profile=grey), "G")) == pytest.approx(
        [100] * 3, abs=1
    )


def test_see_through_pixels_are_no_cloth() -> None:
    image = Image.new("RGBA", (60, 40), (0, 255, 0, 0))
    image.paste((190, 40, 60, 255), (10, 10, 50, 30))
    for kind in ("PNG", "WEBP"):
        photo = open_photo(
            encoded(image, kind, **({"lossless": True} if kind == "WEBP" else {})), "R"
        )
        assert mean(photo) == pytest.approx([190, 40, 60], abs=1)
        assert histogram(photo)[0, 190] == 1


def test_a_palette_with_one_see_through_colour_is_understood() -> None:
    image = plain()
    image.paste((0, 255, 0), (0, 0, 30, 40))
    few = image.quantize(2)
    data = encoded(few, transparency=few.getpixel((0, 0)))
    assert mean(open_photo(data, "Red")) == pytest.approx([190, 40, 60], abs=1)


def test_a_photo_that_shows_nothing_is_refused() -> None:
    with pytest.raises(PhotoError, match="'Ghost' is see-through"):
        open_photo(encoded(Image.new("RGBA", (60, 40), (9, 9, 9, 0))), "Ghost")


def test_sixteen_bit_grey_keeps_its_scale() -> None:
    grey = np.full((40, 60), 100 * 257, dtype=np.uint16)
    photo = open_photo(encoded(Image.fromarray(grey)), "Grey")
    assert mean(photo) == pytest.approx([100, 100, 100], abs=0.6)


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "'Rose' is empty; choose another file"),
        (b"hello, this is no picture at all", "'Rose' is not a picture; choose a photo"),
        (encoded(plain(), "GIF"), "'Rose' is a GIF, which is not read here; .* save it as JPEG"),
        (encoded(plain(), "BMP"), "'Rose' is a BMP, .* save it as JPEG"),
        (encoded(plain(), "PDF"), "'Rose' is a PDF, .* save it as JPEG"),
        (
            encoded(Image.new("F", (60, 40), 0.5), "TIFF"),
            r"'Rose' holds its colours in a way that is not read here \(F\); .* JPEG",
        ),
        (b"II*\0" + bytes(40), "'Rose' is a raw photo, or a TIFF that is damaged .* JPEG"),
        (b"\0\0\0\x18ftypcrx " + bytes(40), "'Rose' is a raw photo, .* save it as JPEG"),
        (b"\0\0\0\x18ftypavif" + bytes(40), "'Rose' is damaged"),
        (b"\0\0\0\x18ftypmp42" + bytes(40), "'Rose' is a video, .* save it as JPEG"),
        (b"\0\0\0\x18ftypheic" + bytes(40), "'Rose' is (damaged|a HEIC photo)"),
        (encoded(plain(15, 600)), "'Rose' is only 15 x 600 pixels, too small .* 600 x 600"),
        (encoded(plain(3000, 20)), "'Rose' is only 3000 x 20 pixels, too small"),
        (png_of_size(13000, 13000), "'Rose' has 169,000,000 pixels; at most 50,000,000 are read"),
        (png_of_size(2**31 - 1, 2**31 - 1), "'Rose' has over 400,000,000 pixels; .* smaller"),
        (jpeg_of_size(20000, 10001), "'Rose' has 200,020,000 pixels; at most 200,000,000"),
        (jpeg_of_size(12000, 9000, b"\xff\xc2"), "'Rose' has 108,000,000 pixels; at most 50,"),
        (png_of_size(600, 600), "'Rose' is damaged or cut short; copy it again"),
        (
            bytes(MOST_BYTES + 100_000),
            "'Rose' has 40.1 MB; at most 40 MB are read: save it smaller",
        ),
    ],
)
def test_what_cannot_be_used_is_named_with_what_to_do(data: bytes, sentence: str) -> None:
    with pytest.raises(PhotoError, match=sentence):
        open_photo(data, "Rose")


def test_an_avif_is_named_where_the_library_does_not_read_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(features, "check", lambda _: False)
    with pytest.raises(PhotoError, match=r"is an AVIF, .* save it as JPEG"):
        open_photo(b"\0\0\0\x18ftypavif" + bytes(40), "Rose")


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "WEBP"])
def test_a_photo_cut_short_is_refused_at_any_length(kind: str) -> None:
    rng = np.random.default_rng(6)
    noise = Image.fromarray(rng.integers(0, 256, (40, 60, 3), dtype=np.uint8))
    data = encoded(noise, kind)
    for length in range(1, len(data) - 60, max(1, len(data) // 60)):
        with pytest.raises(PhotoError, match=r"'Rose' is (damaged or cut short|not a picture)"):
            open_photo(data[:length], "Rose")


@given(data=st.data(), kind=st.sampled_from(["PNG", "JPEG", "WEBP", "TIFF", "AVIF"]))
def test_damaged_bytes_give_a_photo_or_a_sentence(data: st.DataObject, kind: str) -> None:
    broken = bytearray(encoded(plain(), kind))
    for _ in range(data.draw(st.integers(1, 12))):
        broken[data.draw(st.integers(0, len(broken) - 1))] = data.draw(st.integers(0, 255))
    with contextlib.suppress(PhotoError):
        assert open_photo(bytes(broken), "Rose").pixels.mode == "RGB"


@given(st.binary(max_size=300))
def test_any_bytes_give_a_photo_or_a_sentence(data: bytes) -> None:
    with pytest.raises(PhotoError, match="'Rose'"):
        open_photo(data, "Rose")


def test_a_large_jpeg_is_decoded_at_half_its_size_with_the_same_light() -> None:
    rng = np.random.default_rng(7)
    cells = rng.integers(0, 256, (60, 80, 3), dtype=np.uint8)
    image = Image.fromarray(cells).resize((2400, 1800), Image.Resampling.NEAREST)
    photo = open_photo(encoded(image, "JPEG", quality=92), "Cells")
    assert photo.pixels.size == (1200, 900)
    whole = open_photo(encoded(image), "Cells")
    assert mean(photo) == pytest.approx(mean(whole), abs=0.5)


@given(st.integers(16, 1500), st.integers(16, 1500), st.booleans())
def test_shrinking_keeps_the_form(width: int, height: int, masked: bool) -> None:
    mask = Image.new("L", (width, height), 255) if masked else None
    small = shrunk(Photo(Image.new("RGB", (width, height)), mask=mask), 512)
    longer = max(small.pixels.size)
    assert longer <= 512
    assert longer >= min(384, max(width, height))
    assert small.mask is None or small.mask.size == small.pixels.size
    assert width / height == pytest.approx(
        small.pixels.width / small.pixels.height, rel=1.2 / min(small.pixels.size)
    )


def test_the_rim_is_left_out_unless_the_cloth_is_cut_out() -> None:
    image = plain(400, 200)
    image.paste("white", (0, 0, 400, 4))
    photo = open_photo(encoded(image), "Red")
    edges = inside(photo)
    within = replace(photo, pixels=photo.pixels.crop(edges))
    assert mean(within) == pytest.approx([190, 40, 60], abs=1)
    assert (histogram(photo, edges) == histogram(within)).all()
    cut = Photo(image, mask=Image.new("L", image.size, 255))
    assert inside(cut) == (0, 0, 400, 200)
    assert middle(photo, 100).pixels.size == (100, 50)
