"""Read real photos whose truth is known, and photos made of real cloth.

Run as ``python tests/bench/bench_real_photos.py FOLDER``: a folder with ``photos/charts``
(with ``patches.json``), ``photos/paper`` (with masks), ``photos/cloth`` and ``fabrics``.
Differences are CIEDE2000, medians and 95th percentiles or largest.
"""

from __future__ import annotations

import argparse
import io
import sys
import time
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from palette.colour import difference, light_to_lab, srgb_to_light  # noqa: E402 (after the path)
from palette.fabric import NotCloth  # noqa: E402
from palette.photo.open import light_of, open_photo, reduced  # noqa: E402
from palette.photo.paper import SIDE, sheets_of_paper  # noqa: E402
from palette.photo.read import Reading, read  # noqa: E402
from tests.bench import phone_photos, real_charts  # noqa: E402

MARGINS = ((255, 255, 255), (0, 0, 0), (200, 30, 60), (238, 235, 230))
SHARES = (0.02, 0.1, 0.2, 0.4)


def main() -> None:
    """Print all figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--only", choices=tuple(_PARTS))
    wish = parser.parse_args()
    for name, part in _PARTS.items():
        if wish.only in (None, name):
            part(wish.folder)


def _cloths(folder: Path) -> list[Path]:
    """Pictures that show nothing but cloth."""
    garments = sorted((folder / "photos" / "cloth").glob("*.jpg"))
    fabrics = sorted(path for path in (folder / "fabrics").iterdir() if path.suffix != ".csv")
    return garments + [path for path in fabrics if not path.name.startswith("camera")]


def _as_read(data: bytes) -> Reading:
    return read(data, id="a", name="A", white="auto")


def _paper(folder: Path) -> None:
    crops = sorted((folder / "photos" / "paper").glob("*.jpg"))
    found = silent = 0
    for crop in crops:
        data = crop.read_bytes()
        photo = open_photo(data, crop.name)
        light, _ = light_of(reduced(photo, max(1, round(max(photo.pixels.size) / SIDE))))
        with Image.open(crop.with_name(f"{crop.stem}_mask.png")) as opened:
            true = np.asarray(opened.convert("L").resize(light.shape[1::-1])) > 127
        sheets = [sheet.mask for sheet in sheets_of_paper(light)]
        union = np.logical_or.reduce(sheets) if sheets else np.zeros_like(true)
        there = (union & true).sum() / max((union | true).sum(), 1) > 0.7
        found += there
        fabric = _as_read(data).fabric
        said = {each.what for each in fabric.left_out} & {NotCloth.PAPER, NotCloth.GROUND}
        silent += not (there or said or fabric.warnings)
    false = [
        path.name
        for path in _cloths(folder)
        if any(e.what is NotCloth.PAPER for e in _as_read(path.read_bytes()).fabric.left_out)
    ]
    print(f"paper: in its place in {found} of {len(crops)} crops, read as cloth silently {silent}")
    print(f"  found on {len(false)} of {len(_cloths(folder))} photos of cloth: {false}")


def _charts(folder: Path) -> None:
    rows = real_charts.errors(folder / "photos" / "charts")
    for how, by_photo in rows.items():
        groups = {"all": list(by_photo.values())}
        for name, errors in by_photo.items():
            groups.setdefault(name.split("_")[0], []).append(errors)
        told = {name: np.concatenate(errors) for name, errors in groups.items()}
        print(
            f"charts, {how}:",
            "; ".join(
                f"{name} {np.median(e):.1f}/{np.percentile(e, 95):.1f}" for name, e in told.items()
            ),
        )


def _sureness(folder: Path) -> None:
    """Print how often true differences keep bounds that are meant to hold 8 times in 10."""
    for case, rows in real_charts.held(folder / "photos" / "charts").items():
        told = (
            f"{low}-{high}: {part:.0%} of {pairs} (below {below:.0%})"
            for (low, high), (pairs, part, below) in zip(real_charts.BANDS, rows, strict=True)
            if pairs
        )
        print(f"bounds, {case}:", "; ".join(told))


def _phones(folder: Path) -> None:
    off, table, warned = [], [], {}
    for number, photo in enumerate(phone_photos.phone_photos(_cloths(folder), 40)):
        reading = _as_read(photo.jpeg)
        off.append(float(difference(reading.fabric.reads_as.array(), photo.lab)))
        if _table_in(reading, photo) > 0.005:
            table.append(photo.source)
        for each in reading.fabric.warnings:
            warned.setdefault(number, []).append(each.fault.value)
        if off[-1] > 2 or number in warned:
            print(f"  {photo.source} on {photo.table}: {off[-1]:.1f} {warned.get(number, '')}")
    print(
        f"phone photos: off {np.median(off):.2f}, at most {max(off):.1f}; with table in the "
        f"swatch {len(table)} {table}; 'see photo' on {len(warned)} of {len(off)}"
    )


def _table_in(reading: Reading, photo: phone_photos.PhonePhoto) -> float:
    """Part of the found piece that is table."""
    height, width = photo.cloth.shape
    corners = reading.corners.corners if reading.corners else ((0, 0), (1, 0), (1, 1), (0, 1))
    mask = Image.new("L", (width, height))
    ImageDraw.Draw(mask).polygon([(x * width, y * height) for x, y in corners], fill=255)
    inside = np.asarray(mask) > 0
    return float((inside & ~photo.cloth).sum() / inside.sum())


def _margins(folder: Path) -> None:
    rng = np.random.default_rng(5)
    off, worst = [], []
    for path in _cloths(folder)[::3]:
        cloth = _enlarged(path)
        alone = light_to_lab(srgb_to_light(np.asarray(cloth) / 255).mean(axis=(0, 1)))
        for colour in MARGINS:
            for share in SHARES:
                upright = int(share * cloth.width / 2) + 1 if rng.integers(3) else 0
                flat = int(share * cloth.height / 2) + 1
                page = Image.new(
                    "RGB", (cloth.width + 2 * upright, cloth.height + 2 * flat), colour
                )
                page.paste(cloth, (upright, flat))
                lab = _as_read(_jpeg(page)).fabric.reads_as.array()
                off.append(float(difference(lab, alone)))
                if off[-1] > 1:
                    worst.append(f"{path.name} {colour} {share:g}: {off[-1]:.1f}")
    print(
        f"margins: off {np.median(off):.2f}/{np.percentile(off, 95):.2f}, within 1 in "
        f"{sum(o <= 1 for o in off)} of {len(off)}"
    )
    print("  " + "\n  ".join(worst[:20]))
    shops = []
    for path in _cloths(folder)[::3]:
        cloth = _enlarged(path)
        alone = light_to_lab(srgb_to_light(np.asarray(cloth) / 255).mean(axis=(0, 1)))
        lab = _as_read(_jpeg(_shop(cloth))).fabric.reads_as.array()
        shops.append(float(difference(lab, alone)))
    print(f"shop pages: within 2 in {sum(o <= 2 for o in shops)} of {len(shops)}")


def _shop(cloth: Image.Image) -> Image.Image:
    """Put a picture on a white page with text and a button."""
    width, height = int(cloth.width * 1.7), int(cloth.height * 1.6)
    page = Image.new("RGB", (width, height), "white")
    page.paste(cloth, (int(0.1 * width), int(0.08 * height)))
    draw = ImageDraw.Draw(page)
    for line in range(4):
        words = "Cotton, 44 in wide, price 12.50 a yard, washable"
        draw.text((int(0.1 * width), int(height * 0.75) + line * 14), words, fill="black")
    button = [int(part) for part in (0.72 * width, 0.3 * height, 0.9 * width, 0.36 * height)]
    draw.rectangle(button, fill=(200, 40, 40))
    return page


def _enlarged(path: Path) -> Image.Image:
    """Open a picture without the strip below it, some 900 pixels wide."""
    with Image.open(path) as opened:
        image = opened.convert("RGB")
    image = image.crop((0, 0, image.width, image.height - 5))
    times = max(1, round(900 / max(image.size)))
    return image.resize((image.width * times, image.height * times), Image.Resampling.BICUBIC)


def _jpeg(image: Image.Image) -> bytes:
    out = io.BytesIO()
    image.save(out, "JPEG", quality=90)
    return out.getvalue()


def _plain(folder: Path) -> None:
    """Read photos that show nothing but cloth: nothing is to be left out and little warned of."""
    paths = _cloths(folder)
    cut, warned = [], {}
    start = time.process_time()
    for path in paths:
        fabric = _as_read(path.read_bytes()).fabric
        if fabric.left_out:
            cut.append(
                f"{path.name} {[(e.what.value, round(e.share, 3)) for e in fabric.left_out]}"
            )
        if fabric.warnings:
            warned[path.name] = [each.fault.value for each in fabric.warnings]
    spent = (time.process_time() - start) / len(paths)
    print(
        f"cloth alone: cut {len(cut)}, warned {len(warned)} of {len(paths)}, {spent * 1e3:.0f} ms"
    )
    for line in [*cut, *(f"{name} {faults}" for name, faults in warned.items())]:
        print(f"  {line}")


_PARTS = {
    "paper": _paper,
    "charts": _charts,
    "sureness": _sureness,
    "phones": _phones,
    "margins": _margins,
    "cloths": _plain,
}

if __name__ == "__main__":
    main()
