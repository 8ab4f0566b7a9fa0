"""Measure reading a photo: time per format and size, and how true the colours are.

Run it by itself on one core; a number sets how many prints of each kind are drawn:

    OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 python tests/bench/bench_palette.py 18
"""

from __future__ import annotations

import io
import sys
import time
from typing import TYPE_CHECKING

import numpy as np
import prints  # beside this script
from PIL import Image, ImageCms
from scipy.optimize import linear_sum_assignment

from palette.colour import difference, light_to_lab, srgb_to_light
from palette.photo.cloth import PICTURE_SIDE
from palette.photo.light import falling_light
from palette.photo.open import histogram, light_of, open_photo, shrunk
from palette.photo.read import read
from palette.photo.reduce import cloth_of, main_colours, mean_light
from palette.photo.scale import at_working_scale

if TYPE_CHECKING:
    from collections.abc import Callable

SIZES = {"2 MP": (1600, 1200), "12 MP": (4000, 3000), "24 MP": (6000, 4000)}
EACH = int(sys.argv[1]) if len(sys.argv) > 1 else 18
"""Prints of each kind."""


def cpu(work: Callable[[], object], runs: int = 5) -> float:
    """Median CPU time in milliseconds, after one run to warm up."""
    work()
    times = []
    for _ in range(runs):
        start = time.process_time()
        work()
        times.append(1000 * (time.process_time() - start))
    return float(np.median(times))


def big_photo(width: int, height: int) -> Image.Image:
    """Photograph a print repeated four times each way, with the noise of a phone."""
    rng = np.random.default_rng(8)
    tile = prints.draw("floral", rng, width // 4, height // 4, width / 100).light
    light = np.tile(tile.astype(np.float32), (4, 4, 1))
    light *= prints.falling(rng, height, width, 0.25)[..., None].astype(np.float32)
    noise = rng.standard_normal(light.shape, dtype=np.float32)
    return prints.image(light + noise * np.sqrt(4e-5 + 4e-3 * np.maximum(light, 0)))


def formats() -> dict[str, tuple[str, dict[str, object]]]:
    """Name each way a photo is saved: format and options."""
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    ways: dict[str, tuple[str, dict[str, object]]] = {
        "JPEG q92": ("JPEG", {"quality": 92}),
        "JPEG q92 with profile": ("JPEG", {"quality": 92, "icc_profile": profile}),
        "JPEG q92 progressive": ("JPEG", {"quality": 92, "progressive": True}),
        "PNG": ("PNG", {"compress_level": 2}),
        "WebP q90": ("WEBP", {"quality": 90, "method": 1}),
    }
    try:
        import pillow_heif
    except ImportError:
        print("HEIC: the extra is not installed")
        return ways
    pillow_heif.register_heif_opener()
    return ways | {"HEIC q85": ("HEIF", {"quality": 85})}


def show_times() -> None:
    """Print the time from bytes to a Fabric and its picture, by size and format."""
    print(f"{'from bytes to Fabric and picture':34}{'MB':>8}{'CPU ms':>10}")
    for size, (width, height) in SIZES.items():
        image = big_photo(width, height)
        for name, (kind, options) in formats().items():
            if width > 4000 and kind != "JPEG":
                continue
            out = io.BytesIO()
            image.save(out, kind, **options)
            data = out.getvalue()
            spent = cpu(lambda data=data: read(data, id="a", name="A"))
            print(f"{size + ' ' + name:34}{len(data) / 1e6:8.1f}{spent:10.0f}")


def show_reads_as() -> None:
    """Print how far the reads-as colour is off after JPEG 85, by how it is taken."""
    rng = np.random.default_rng(21)
    ways: dict[str, list[float]] = {
        "mean light": [],
        "mean light of a photo of 4.3 MP, decoded at half": [],
        "mean light of a 64 px thumbnail": [],
        "mean of sRGB numbers": [],
    }
    for index in range(EACH * len(prints.KINDS)):
        kind = prints.KINDS[index % len(prints.KINDS)]
        drawn = prints.draw(kind, rng, 600, 450, float(np.exp(rng.uniform(1.8, 4.4))))
        taken = prints.photograph(drawn, rng, fall=0)
        photo = open_photo(prints.jpeg(taken), kind)
        numbers = np.asarray(photo.pixels).mean(axis=(0, 1)) / 255
        thumbnail = shrunk(photo, 64)
        tiled = prints.jpeg(np.tile(taken, (4, 4, 1))) if index % 6 == 0 else None
        found = {
            "mean light": mean_light(histogram(photo), photo.meaning),
            "mean light of a 64 px thumbnail": mean_light(histogram(thumbnail), photo.meaning),
            "mean of sRGB numbers": srgb_to_light(numbers),
        }
        if tiled is not None:
            half = open_photo(tiled, kind)
            name = "mean light of a photo of 4.3 MP, decoded at half"
            found[name] = mean_light(histogram(half), half.meaning)
        for way, light in found.items():
            ways[way].append(float(difference(light_to_lab(light), drawn.reads_as)))
    print(f"\n{'reads-as, CIEDE2000 after JPEG 85':52}{'median':>8}{'p95':>8}{'worst':>8}")
    for way, apart in ways.items():
        middle, high = np.percentile(apart, (50, 95))
        print(f"{way:52}{middle:8.2f}{high:8.2f}{max(apart):8.2f}")


def show_main_colours(title: str, width: int, low: float, high: float) -> None:
    """Print how well main colours are found on photographed prints of one range of features."""
    rng = np.random.default_rng(5)
    worst, missed, spurious, shares, true, good, spent = [], 0, 0, [], 0, [], []
    for index in range(EACH * len(prints.KINDS)):
        kind = prints.KINDS[index % len(prints.KINDS)]
        feature = float(np.exp(rng.uniform(np.log(low), np.log(high))))
        drawn = prints.draw(kind, rng, width, width * 3 // 4, feature)
        data = prints.jpeg(prints.photograph(drawn, rng))
        small = shrunk(open_photo(data, kind), PICTURE_SIDE)
        start = time.process_time()
        view = at_working_scale(small)
        light, counts = light_of(view.photo)
        even = light / falling_light(light, counts)[..., None]
        lab, share = main_colours(cloth_of(even, counts, grainy=view.grainy))
        spent.append(1000 * (time.process_time() - start))
        large = drawn.shares >= 0.02
        apart = difference(drawn.dyes[large][:, None], lab[None])
        rows, columns = linear_sum_assignment(np.minimum(apart, 12))
        hit = apart[rows, columns] < 6
        true += int(large.sum())
        missed += int(large.sum() - hit.sum())
        spurious += int(len(lab) - hit.sum())
        worst.append(float(apart[rows, columns][hit].max()) if hit.any() else 99.0)
        good.append(bool(hit.sum() == large.sum() and worst[-1] < 1))
        shares += np.abs(drawn.shares[large][rows[hit]] - share[columns[hit]]).tolist()
    print(
        f"{title:34}{np.median(worst):8.2f}{np.percentile(worst, 90):8.2f}{np.mean(good):8.0%}"
        f"{missed / true:8.1%}{spurious / true:9.1%}{np.mean(shares):8.4f}{np.median(spent):8.1f}"
    )


def show_evening() -> None:
    """Print the unevenness left of light that falls by a quarter, and harm done to even light."""
    print(f"\n{'light left uneven, per cent rms':34}{'median':>8}{'p95':>8}{'CPU ms':>9}")
    for fall in (0.25, 0.0):
        rng = np.random.default_rng(11)
        left, spent = [], []
        for index in range(EACH * len(prints.KINDS)):
            kind = prints.KINDS[index % len(prints.KINDS)]
            drawn = prints.draw(kind, rng, 256, 192, float(np.exp(rng.uniform(1.6, 3.4))))
            seed = int(rng.integers(1 << 30))
            photo = prints.photograph(drawn, np.random.default_rng(seed), fall=fall)
            truth = prints.falling(np.random.default_rng(seed), 192, 256, fall)
            light = srgb_to_light(np.asarray(Image.open(io.BytesIO(prints.jpeg(photo)))) / 255)
            start = time.process_time()
            rest = falling_light(light, np.ones((192, 256), dtype=bool)) / truth
            spent.append(1000 * (time.process_time() - start))
            left.append(100 * rest.std() / rest.mean())
        middle, high = np.percentile(left, (50, 95))
        print(f"{f'falling by {fall:.0%}':34}{middle:8.2f}{high:8.2f}{np.median(spent):9.1f}")


def main() -> None:
    """Print all tables."""
    show_times()
    show_reads_as()
    print(f"\n{'main colours, light falling 25 %,':34}{'worst colour':>16}{'all':>8}{'':>8}")
    print(
        f"{'JPEG 85, number unknown':34}{'median':>8}{'p90':>8}{'under 1':>8}"
        f"{'missed':>8}{'spurious':>9}{'share':>8}{'CPU ms':>8}"
    )
    show_main_colours("1024 px, features 20-120 px", 1024, 20, 120)
    show_main_colours("2048 px, features 12-30 px", 2048, 12, 30)
    show_main_colours("1024 px, features 6-15 px", 1024, 6, 15)
    show_evening()


if __name__ == "__main__":
    main()
