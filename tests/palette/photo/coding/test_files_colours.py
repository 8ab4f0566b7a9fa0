"""Files that say their colours in every way their formats have, each made here.

Truth: 24 patches of a chart (edition of November 2014) and a red beyond sRGB,
encoded by colour-science in the space the file names. Each is read within 1
(CIEDE2000), or the photo says what was assumed.
"""

from __future__ import annotations

import io
import struct
import zlib
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from PIL import Image, ImageCms

from palette.colour import difference, light_to_lab
from palette.fabric import PhotoFault
from palette.photo.open import PhotoError, light_of, open_photo

if TYPE_CHECKING:
    from collections.abc import Callable
    from types import ModuleType

    from palette.photo.open import Photo

PATCH = 32


@pytest.fixture(scope="module")
def chart(colour_science: ModuleType) -> Callable[..., tuple[Image.Image, np.ndarray]]:
    """Return a maker of a picture of patches in a colour space, and their Lab."""
    cs = colour_science
    patches = cs.CCS_COLOURCHECKERS["ColorChecker24 - After November 2014"]
    d65 = cs.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    xyz = np.array([cs.xyY_to_XYZ(value) for value in patches.data.values()])
    xyz = cs.chromatic_adaptation(
        xyz, cs.xy_to_XYZ(patches.illuminant), cs.xy_to_XYZ(d65), method="Von Kries"
    )
    red = cs.RGB_to_XYZ(np.array([0.9, 0.1, 0.1]), "Display P3")
    xyz = np.vstack([xyz, red])

    def make(space: str, curve: Callable[[np.ndarray], np.ndarray] | None = None) -> Any:
        known = cs.RGB_COLOURSPACES[space]
        light = xyz @ known.matrix_XYZ_to_RGB.T
        # White stays white whatever the space's own is.
        if not np.allclose(known.whitepoint, d65, atol=1e-3):
            adapted = cs.chromatic_adaptation(
                xyz, cs.xy_to_XYZ(d65), cs.xy_to_XYZ(known.whitepoint), method="Von Kries"
            )
            light = adapted @ known.matrix_XYZ_to_RGB.T
        lab = cs.XYZ_to_Lab(xyz, d65)
        # A colour that the space cannot say has no truth in its files.
        lab[((light < -0.001) | (light > 1.001)).any(axis=-1)] = np.nan
        codes = (curve or known.cctf_encoding)(np.clip(light, 0, 1))
        shown = codes.reshape(5, 5, 3).repeat(PATCH, axis=0).repeat(PATCH, axis=1)
        # Grain, as photos have it: flat patches would show the steps of eight bits.
        grain = np.random.default_rng(1).normal(0, 1, shown.shape)
        picture = Image.fromarray(np.rint(np.clip(255 * shown + grain, 0, 255)).astype(np.uint8))
        return picture, lab

    return make


def worst(photo: Photo, lab: np.ndarray, darkest: float = 0) -> float:
    """Return how far a patch of some lightness is off at most."""
    light, _ = light_of(photo)
    parts = light.reshape(5, PATCH, 5, PATCH, 3)[:, 8:-8, :, 8:-8].mean(axis=(1, 3)).reshape(-1, 3)
    off = difference(light_to_lab(parts), lab)[lab[:, 0] > darkest]
    assert len(off) >= 18
    return float(off.max())


def saved(image: Image.Image, kind: str, **options: Any) -> bytes:
    out = io.BytesIO()
    image.save(out, kind, **options)
    return out.getvalue()


def with_chunks(png: bytes, *chunks: tuple[bytes, bytes]) -> bytes:
    """Put chunks behind the header of a PNG (PNG, third edition, 5.3)."""
    parts = b"".join(
        struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
        for kind, body in chunks
    )
    return png[:33] + parts + png[33:]


def chrm(colour_science: ModuleType, space: str) -> bytes:
    known = colour_science.RGB_COLOURSPACES[space]
    points = [*known.whitepoint, *known.primaries.ravel()]
    return struct.pack(">8I", *(round(100_000 * float(p)) for p in points))


SPACES = {
    # Code points of H.273 (tables 2 and 3) and the names colour-science has for them.
    "Display P3": (12, 13),
    "ITU-R BT.2020": (9, 14),
    "ITU-R BT.709": (1, 1),
    "sRGB": (1, 13),
    "DCI-P3": (11, 17),
}


@pytest.mark.parametrize("space", SPACES)
def test_a_png_with_code_points_is_read_by_them(chart: Any, space: str) -> None:
    curve = dci if space == "DCI-P3" else None
    picture, lab = chart(space, curve)
    data = with_chunks(saved(picture, "PNG"), (b"cICP", bytes([*SPACES[space], 0, 1])))
    photo = open_photo(data, "Chart")
    assert worst(photo, lab) < 1
    assert not photo.assumed


def dci(light: np.ndarray) -> np.ndarray:
    """Encode as SMPTE ST 428-1 does."""
    return (light * 48 / 52.37) ** (1 / 2.6)


def test_a_png_of_narrow_range_is_read(chart: Any) -> None:
    picture, lab = chart("Display P3")
    narrow = picture.point([round(16 + 219 * v / 255) for v in range(256)] * 3)
    data = with_chunks(saved(narrow, "PNG"), (b"cICP", bytes([12, 13, 0, 0])))
    assert worst(open_photo(data, "Chart"), lab) < 1


@pytest.mark.parametrize(("gamma", "space"), [(1.0, "sRGB"), (1.8, "sRGB"), (2.2, "Display P3")])
def test_a_png_with_gamma_and_chromaticities(
    chart: Any, colour_science: ModuleType, gamma: float, space: str
) -> None:
    # Straight light in eight bits is coarse, so its dark patches are left out.
    picture, lab = chart(space, lambda light: light ** (1 / gamma))
    chunks = [(b"gAMA", struct.pack(">I", round(100_000 / gamma)))]
    if space != "sRGB":
        chunks.append((b"cHRM", chrm(colour_science, space)))
    photo = open_photo(with_chunks(saved(picture, "PNG"), *chunks), "Chart")
    assert worst(photo, lab, 40 if gamma == 1.0 else 0) < 1


def test_chunks_of_a_png_go_before_each_other_in_their_order(
    chart: Any, colour_science: ModuleType, display_p3: bytes
) -> None:
    p3, lab = chart("Display P3")
    plain, fewer = chart("sRGB")
    wrong = struct.pack(">I", 30_000)
    points = (b"cICP", bytes([12, 13, 0, 1])), (b"cICP", bytes([1, 13, 0, 1]))
    fake = chrm(colour_science, "ITU-R BT.2020")
    cases = [
        with_chunks(saved(p3, "PNG", icc_profile=display_p3), points[0]),
        with_chunks(saved(plain, "PNG", icc_profile=display_p3), points[1]),
        with_chunks(saved(p3, "PNG", icc_profile=display_p3), (b"gAMA", wrong)),
        with_chunks(saved(plain, "PNG"), (b"sRGB", b"\0"), (b"gAMA", wrong)),
        with_chunks(saved(plain, "PNG"), (b"sRGB", b"\0"), (b"cHRM", fake)),
        # Code points that nobody knows go for nothing, and the next is heard.
        with_chunks(saved(p3, "PNG", icc_profile=display_p3), (b"cICP", bytes([99, 13, 0, 1]))),
    ]
    for number, data in enumerate(cases):
        truth = fewer if number in (1, 3, 4) else lab
        assert worst(open_photo(data, "Chart"), truth) < 1, number


def test_adobe_rgb_by_exif_alone(chart: Any) -> None:
    # DCF 2.0 (CIPA DC-009), 3.3: uncalibrated, and 'R03' in the interoperability IFD.
    picture, lab = chart("Adobe RGB (1998)")
    told = {0x8769: {0xA001: 0xFFFF, 0xA005: {1: "R03"}}}
    exif = Image.Exif()
    exif.update(told)
    options = {"quality": 100, "subsampling": 0, "exif": exif}
    photo = open_photo(saved(picture, "JPEG", **options), "Chart")
    assert worst(photo, lab) < 1
    assert not photo.assumed
    whole = open_photo(saved(picture, "TIFF", tiffinfo=told), "Chart")
    assert worst(whole, lab) < 1


def test_exif_with_primaries_and_gamma(chart: Any, colour_science: ModuleType) -> None:
    picture, lab = chart("Adobe RGB (1998)", lambda light: light ** (1 / 2.2))
    known = colour_science.RGB_COLOURSPACES["Adobe RGB (1998)"]
    exif = Image.Exif()
    exif[0x013E] = tuple(map(float, known.whitepoint))
    exif[0x013F] = tuple(map(float, known.primaries.ravel()))
    exif[0x8769] = {0xA001: 0xFFFF, 0xA500: 2.2}
    data = saved(picture, "JPEG", quality=100, subsampling=0, exif=exif)
    assert worst(open_photo(data, "Chart"), lab) < 1


def test_exif_that_names_no_space_is_said(chart: Any) -> None:
    picture, lab = chart("sRGB")
    exif = Image.Exif()
    exif[0x8769] = {0xA001: 0xFFFF}
    photo = open_photo(saved(picture, "JPEG", quality=100, subsampling=0, exif=exif), "Chart")
    assert [each.fault for each in photo.assumed] == [PhotoFault.COLOURS_UNKNOWN]
    assert worst(photo, lab) < 1
    exif[0x8769] = {0xA001: 1, 0xA005: {1: "R98"}}
    photo = open_photo(saved(picture, "JPEG", quality=100, subsampling=0, exif=exif), "Chart")
    assert not photo.assumed


def avif(picture: Image.Image, primaries: int, transfer: int) -> bytes:
    """Make an AVIF that says its colours by code points alone."""
    data = bytearray(saved(picture, "AVIF", quality=100, subsampling="4:4:4"))
    return recoded(data, primaries, transfer)


def recoded(data: bytearray, primaries: int, transfer: int) -> bytes:
    at = data.index(b"colrnclx") + 8
    data[at : at + 4] = struct.pack(">HH", primaries, transfer)
    return bytes(data)


def test_avif_is_read_by_its_code_points(chart: Any, display_p3: bytes) -> None:
    p3, lab = chart("Display P3")
    # The codec itself is up to two codes off in vivid blues, one in the dark.
    assert worst(open_photo(avif(p3, 12, 13), "Chart"), lab, darkest=25) < 1.2
    plain, fewer = chart("sRGB")
    data = saved(plain, "AVIF", quality=100, subsampling="4:4:4")
    assert worst(open_photo(data, "Chart"), fewer, darkest=25) < 1.2
    options = {"quality": 100, "subsampling": "4:4:4", "icc_profile": display_p3}
    both = bytearray(saved(p3, "AVIF", **options))
    assert worst(open_photo(bytes(both), "Chart"), lab, darkest=25) < 1.2
    (unknown,) = open_photo(avif(plain, 99, 13), "Chart").assumed
    assert unknown.fault is PhotoFault.COLOURS_UNKNOWN


def test_heic_is_read_by_its_code_points(chart: Any) -> None:
    heif = pytest.importorskip("pillow_heif", reason="the extra that reads HEIC is not installed")
    picture, lab = chart("Display P3")
    out = io.BytesIO()
    heif.from_pillow(picture).save(out, quality=-1, chroma=444, matrix_coefficients=6)
    photo = open_photo(recoded(bytearray(out.getvalue()), 12, 13), "Chart")
    assert worst(photo, lab) < 1


@pytest.mark.parametrize(("transfer", "name"), [(16, "PQ"), (18, "HLG")])
def test_high_dynamic_range_says_what_white_was_taken_to_be(
    chart: Any, colour_science: ModuleType, transfer: int, name: str
) -> None:
    cs = colour_science
    if name == "PQ":
        # Reference white at 203 cd/m2 (ITU-R BT.2408, 2.1).
        encode = lambda light: cs.models.eotf_inverse_ST2084(203 * light)  # noqa: E731
    else:
        # At 75 % of the signal; the picture on a screen goes with the power 1.2 of the scene.
        signal = np.linspace(0, 0.8, 2000)
        scene = cs.models.oetf_inverse_BT2100_HLG(np.append(signal, 0.75))
        encode = lambda light: np.interp(light, (scene[:-1] / scene[-1]) ** 1.2, signal)  # noqa: E731
    picture, lab = chart("ITU-R BT.2020", encode)
    data = with_chunks(saved(picture, "PNG"), (b"cICP", bytes([9, transfer, 0, 1])))
    photo = open_photo(data, "Chart")
    assert [each.fault for each in photo.assumed] == [PhotoFault.HDR_WHITE]
    assert worst(photo, lab) < 1.5


def test_inks_without_a_profile_are_said(chart: Any) -> None:
    picture, _ = chart("sRGB")
    inks = picture.convert("CMYK")
    for kind in ("JPEG", "TIFF"):
        photo = open_photo(saved(inks, kind), "Chart")
        assert [each.fault for each in photo.assumed] == [PhotoFault.INKS_ASSUMED]


def test_a_profile_that_cannot_be_used_is_said(chart: Any) -> None:
    picture, lab = chart("sRGB")
    lab_profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes()
    photo = open_photo(saved(picture, "PNG", icc_profile=lab_profile), "Chart")
    assert [each.fault for each in photo.assumed] == [PhotoFault.COLOURS_UNKNOWN]
    assert worst(photo, lab) < 1


@pytest.mark.parametrize("compression", [None, "tiff_lzw", "tiff_adobe_deflate", "jpeg"])
def test_tiff_is_read(chart: Any, display_p3: bytes, compression: str | None) -> None:
    picture, lab = chart("Display P3")
    options = {} if compression != "jpeg" else {"quality": 100}
    data = saved(picture, "TIFF", compression=compression, icc_profile=display_p3, **options)
    assert worst(open_photo(data, "Chart"), lab) < 1


@pytest.mark.parametrize(
    ("tags", "sentence"),
    [
        ({50706: b"\1\4\0\0"}, "'Rose' is a raw photo, .* save it as JPEG"),
        ({254: 1}, "'Rose' is a raw photo, .* save it as JPEG"),
    ],
)
def test_a_raw_photo_is_not_taken_for_its_preview(
    chart: Any, tags: dict[int, Any], sentence: str
) -> None:
    # Tags of Digital Negative 1.7 and of TIFF 6.0 (NewSubfileType, bit 0: reduced resolution).
    picture, _ = chart("sRGB")
    with pytest.raises(PhotoError, match=sentence):
        open_photo(saved(picture, "TIFF", tiffinfo=tags), "Rose")


def test_an_avif_lies_upright(chart: Any) -> None:
    picture, _ = chart("sRGB")
    exif = Image.Exif()
    exif[0x0112] = 6
    data = saved(picture.crop((0, 0, 160, 64)), "AVIF", exif=exif)
    assert open_photo(data, "Chart").pixels.size == (64, 160)


def test_every_code_point_is_that_of_the_recommendation(colour_science: ModuleType) -> None:
    # Numbers of H.273 (07/2021) as colour-science has them.
    from palette.photo.coding.code_points import coded

    models = colour_science.models
    for number, primaries in models.COLOUR_PRIMARIES_ITUTH273.items():
        found = coded(number, 13)
        if primaries.dtype.kind == "f" and primaries.shape == (3, 2):
            assert found is not None, number
            assert np.array(found.primaries[:3]) == pytest.approx(primaries, abs=1e-3)
        elif number != 2:
            assert found is None, number
    light = np.linspace(0.001, 0.9, 50)
    for number in (1, 4, 5, 6, 7, 8, 13, 14, 15, 17):
        found = coded(1, number)
        assert found is not None
        signal = models.TRANSFER_CHARACTERISTICS_ITUTH273[number](light)
        back = np.interp(np.clip(signal, 0, 1), np.arange(256) / 255, found.curve)
        assert back == pytest.approx(light, abs=2e-3), number
