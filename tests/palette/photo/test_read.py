"""From the bytes of a photo to a Fabric and a clean picture."""

from __future__ import annotations

import contextlib
import io
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageCms, PngImagePlugin

from palette.colour import Lab, difference, lab_to_light
from palette.photo.cloth import PICTURE_SIDE
from palette.photo.open import PhotoError
from palette.photo.read import Reading, read
from tests.bench import prints

if TYPE_CHECKING:
    from types import ModuleType

ROOT = Path(__file__).resolve().parents[3]
FABRICS = ROOT.parent / "shared" / "fabrics"
GPS = 0x8825
CHECKER = "ColorChecker24 - After November 2014"
SECRETS = (b"51 deg", b"SECRET", b"Exif", b"http://ns.adobe", b"ICC_PROFILE", b"\xff\xfe", b"GPS")


def encoded(image: Image.Image, kind: str, **options: object) -> bytes:
    out = io.BytesIO()
    image.save(out, kind, **options)
    return out.getvalue()


def photo(width: int = 640, height: int = 480, kind: str = "dots", seed: int = 1) -> Image.Image:
    rng = np.random.default_rng(seed)
    return prints.image(prints.photograph(prints.draw(kind, rng, width, height, 30), rng))


def telling_exif() -> Image.Exif:
    exif = Image.Exif()
    exif[0x010E] = "SECRET description"
    exif.get_ifd(GPS)[1] = "N"
    exif.get_ifd(GPS)[2] = (51.0, 30.0, 26.0)
    return exif


def as_read(data: bytes) -> Reading:
    return read(data, id="rose", name="Rose")


def test_a_fabric_carries_the_name_and_what_was_read() -> None:
    fabric = as_read(encoded(photo(), "JPEG", quality=92)).fabric
    assert (fabric.id, fabric.name) == ("rose", "Rose")
    assert sum(part.share for part in fabric.colours) == pytest.approx(1, abs=0.001)
    assert 0.03 < fabric.print_scale < 0.12
    assert fabric.warnings == ()


def test_colours_are_rounded_so_that_their_text_reads_back() -> None:
    fabric = as_read(encoded(photo(kind="plaid"), "PNG")).fabric
    for lab in (fabric.reads_as, *(part.colour for part in fabric.colours)):
        assert Lab.parse(str(lab)) == lab


def test_main_colours_mix_to_what_the_fabric_reads_as() -> None:
    for kind in prints.KINDS:
        fabric = as_read(encoded(photo(kind=kind), "JPEG", quality=92)).fabric
        mixed = sum(part.share * lab_to_light(part.colour.array()) for part in fabric.colours)
        assert mixed == pytest.approx(lab_to_light(fabric.reads_as.array()), abs=0.03)


def test_a_colour_checker_in_display_p3_is_read_right(
    display_p3: bytes, colour_science: ModuleType
) -> None:
    d65 = colour_science.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    checker = colour_science.CCS_COLOURCHECKERS[CHECKER]
    patches = colour_science.chromatic_adaptation(
        colour_science.xyY_to_XYZ(np.array(list(checker.data.values()))),
        colour_science.xy_to_XYZ(checker.illuminant),
        colour_science.xy_to_XYZ(d65),
        transform="Bradford",
    )
    codes = colour_science.XYZ_to_RGB(patches, "Display P3", apply_cctf_encoding=True)
    true = colour_science.XYZ_to_Lab(patches, d65)
    apart = []
    for code, lab in zip(codes, true, strict=True):
        swatch = Image.new("RGB", (64, 64), tuple(np.round(255 * code).astype(int).tolist()))
        fabric = as_read(encoded(swatch, "PNG", icc_profile=display_p3)).fabric
        apart.append(float(difference(fabric.reads_as.array(), lab)))
        assert fabric.colours[0].share == 1
    # Rounding to 8 bits costs this much; ignoring the profile would cost 1 to 4.
    assert max(apart) < 0.5
    assert np.mean(apart) < 0.3


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_nothing_but_pixels_is_in_the_picture(kind: str) -> None:
    options: dict[str, object] = {
        "exif": telling_exif(),
        "icc_profile": ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes(),
    }
    if kind == "PNG":
        notes = PngImagePlugin.PngInfo()
        notes.add_text("Comment", "SECRET")
        options["pnginfo"] = notes
    else:
        options["xmp"] = b"<x:xmpmeta xmlns:x='adobe:ns:meta/'>http://ns.adobe SECRET</x:xmpmeta>"
    if kind == "JPEG":
        options["comment"] = b"SECRET place: 51 deg"
    data = encoded(photo(), kind, **options)
    assert b"SECRET" in data
    picture = as_read(data).picture
    assert not any(secret in picture for secret in SECRETS)
    opened = Image.open(io.BytesIO(picture))
    assert opened.format == "JPEG"
    assert dict(opened.getexif()) == {}
    assert set(opened.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


@pytest.mark.parametrize("size", [(1200, 900), (900, 1200), (3000, 2000), (1025, 600), (300, 200)])
def test_the_picture_has_at_most_1024_pixels_a_side(size: tuple[int, int]) -> None:
    image = photo(300, 200).resize(size)
    opened = Image.open(io.BytesIO(as_read(encoded(image, "JPEG")).picture))
    assert max(opened.size) <= PICTURE_SIDE
    assert max(opened.size) >= min(max(size), 768)
    assert (opened.width > opened.height) == (size[0] > size[1])


def test_the_picture_is_in_srgb(display_p3: bytes, colour_science: ModuleType) -> None:
    code = np.array([150, 100, 90])
    expected = 255 * colour_science.RGB_to_RGB(
        code / 255, "Display P3", "sRGB", apply_cctf_decoding=True, apply_cctf_encoding=True
    )
    assert abs(expected[0] - code[0]) > 7
    swatch = Image.new("RGB", (64, 64), tuple(code.tolist()))
    picture = as_read(encoded(swatch, "PNG", icc_profile=display_p3)).picture
    shown = np.asarray(Image.open(io.BytesIO(picture)), dtype=float)[32, 32]
    assert shown == pytest.approx(expected, abs=2)


def test_the_picture_is_filled_where_the_photo_is_see_through() -> None:
    image = Image.new("RGBA", (200, 200), (0, 0, 0, 0))
    image.paste((180, 60, 60, 255), (50, 50, 150, 150))
    reading = as_read(encoded(image, "PNG"))
    shown = np.asarray(Image.open(io.BytesIO(reading.picture)), dtype=int)
    assert shown[5, 5] == pytest.approx([180, 60, 60], abs=4)
    assert len(reading.fabric.colours) == 1


@pytest.mark.slow
def test_the_same_photo_gives_the_same_bytes_in_another_process(tmp_path: Path) -> None:
    path = tmp_path / "photo.jpg"
    path.write_bytes(encoded(photo(kind="floral"), "JPEG"))
    program = (
        "import sys, hashlib; from palette.photo.read import read;"
        "r = read(open(sys.argv[1], 'rb').read(), id='rose', name='Rose');"
        "print(hashlib.sha256(r.picture + repr(r.fabric).encode()).hexdigest())"
    )
    command = [sys.executable, "-c", program, str(path)]
    runs = {subprocess.run(command, cwd=ROOT, check=True, capture_output=True).stdout for _ in "12"}
    assert len(runs) == 1


def test_a_photo_reads_the_same_in_every_format() -> None:
    image = photo(kind="plaid")
    options = {"JPEG": {"quality": 95}, "PNG": {}, "WEBP": {"quality": 95}}
    seen = [as_read(encoded(image, kind, **more)).fabric for kind, more in options.items()]
    for fabric in seen:
        assert difference(fabric.reads_as.array(), seen[1].reads_as.array()) < 0.5
        assert len(fabric.colours) == len(seen[1].colours)


def test_a_turned_photo_reads_the_same() -> None:
    upright, exif = photo(kind="floral"), Image.Exif()
    exif[0x0112] = 6
    turned = upright.transpose(Image.Transpose.ROTATE_90)
    first, second = as_read(encoded(upright, "PNG")), as_read(encoded(turned, "PNG", exif=exif))
    assert first == second


def test_reading_starts_without_the_slow_libraries() -> None:
    program = (
        "import sys; import palette.photo.read;"
        "print(*(m for m in ('skimage', 'scipy', 'colormath', 'networkx') if m in sys.modules))"
    )
    command = [sys.executable, "-c", program]
    run = subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True)
    assert run.stdout.strip() == ""


@given(st.integers(0, 1 << 16), st.sampled_from(["RGB", "RGBA", "L", "LA", "P", "1", "CMYK"]))
def test_any_small_picture_gives_a_fabric_or_a_sentence(seed: int, mode: str) -> None:
    rng = np.random.default_rng(seed)
    height, width = rng.integers(16, 70, 2)
    channels = rng.integers(0, 256, (height, width, 4), dtype=np.uint8)
    image = Image.fromarray(channels, "RGBA" if mode in ("RGBA", "LA") else "CMYK").convert(
        mode if mode != "P" else "RGB"
    )
    image = image.quantize(7) if mode == "P" else image
    data = encoded(image, "JPEG" if mode == "CMYK" else "PNG")
    with contextlib.suppress(PhotoError):
        assert as_read(data).fabric.colours


def test_real_cloth_reads_as_people_call_it() -> None:
    # Photos with their sources in SOURCES.csv beside them; the hues are by eye.
    if not FABRICS.is_dir():
        pytest.skip("the folder of photos, ../shared/fabrics, is not here")
    expected = {
        "scan_linen.jpg": ("blue", 1),
        "scan_satin.jpg": ("orange", 1),
        "scan_wool_coating.jpg": ("orange", 1),
        "scan_window_check.jpg": ("yellow", 2),
        "cloth_022.png": ("blue", 1),
        "cloth_070.png": ("green", 1),
    }
    hues = {"orange": (35, 80), "yellow": (80, 115), "green": (100, 160), "blue": (230, 290)}
    for file, (hue, count) in expected.items():
        fabric = as_read((FABRICS / file).read_bytes()).fabric
        angle = np.degrees(np.arctan2(fabric.reads_as.b, fabric.reads_as.a)) % 360
        low, high = hues[hue]
        assert low <= angle <= high, file
        assert len(fabric.colours) == count, file


def test_every_photo_at_hand_is_read() -> None:
    if not FABRICS.is_dir():
        pytest.skip("the folder of photos, ../shared/fabrics, is not here")
    for path in FABRICS.iterdir():
        if path.suffix != ".csv":
            assert as_read(path.read_bytes()).fabric.colours, path.name
