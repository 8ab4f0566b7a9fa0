"""How well one photo of a bundle is taken apart.

A fabric counts as right when its crop lies wholly inside it, covers at least
two fifths of it, and reads within 1.5 (CIEDE2000) of the true light of the
fabric there. How often it also reads within 1.5 of the whole fabric is told
apart: a large print reads differently from part to part. Tables, prints and
photos of cloth are of a family that nothing was tuned on; fabrics differ from
the table by at least 12 in the mean.

With --intruders a floor, feet or scissors reach into every photo by turns.

Run: python tests/bench/bench_bundle.py [photos of each kind] [first seed] [--tuning] [--intruders]
"""

from __future__ import annotations

import io
import sys
import time
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw
from skimage.draw import polygon

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from typing import TYPE_CHECKING

import intruders
import scenes

from palette.bundle.crop import cut
from palette.bundle.find import Lie, find
from palette.colour import difference, light_to_lab
from palette.photo.open import Photo, histogram, open_photo
from palette.photo.reduce import mean_light

if TYPE_CHECKING:
    from palette.bundle.result import Found

GOALS = {"spread": 99.5, "grid": 100.0, "stack": 98.0}
LIKE = 1.5
COVERS = 0.4


@dataclass
class Tally:
    """What came of the photos of one kind."""

    fabrics: int = 0
    placed: int = 0
    right: int = 0
    spurious: int = 0
    off: list[float] = field(default_factory=list)
    off_whole: list[float] = field(default_factory=list)
    seconds: list[float] = field(default_factory=list)
    failures: list[str] = field(default_factory=list)
    silent: int = 0
    """Photos in which something is wrong and nothing is said."""
    alarms: int = 0
    """Photos in which all is right and something is said."""


def judge(made: scenes.Scene, found: Found, photo: Photo, tally: Tally, title: str) -> bool:
    """Compare what was found with the truth; whether all is right."""
    height, width = made.labels.shape
    areas = np.bincount(made.labels.ravel() + 1, minlength=made.count + 1)[1:]
    placed, right, spurious, words = set(), set(), 0, []
    for number in range(len(found.pieces)):
        corners = found.inner(number).array() * [width, height]
        seen = made.labels[polygon(corners[:, 1], corners[:, 0], made.labels.shape)]
        fabric = np.bincount(seen + 1).argmax() - 1
        if fabric < 0:
            spurious += 1
            continue
        pure, covers = (seen == fabric).mean(), (seen == fabric).sum() / areas[fabric]
        if pure < 1 or covers < COVERS:
            words.append(f"{fabric}: {pure:.1%} inside, covers {covers:.0%}")
            continue
        placed.add(int(fabric))
        crop = cut(photo, found, number)
        read = light_to_lab(mean_light(histogram(crop), crop.meaning))
        there = polygon(corners[:, 1], corners[:, 0], made.labels.shape)
        off = colour_off(read, made.light[there])
        tally.off.append(off)
        tally.off_whole.append(colour_off(read, made.light[made.labels == fabric]))
        if off <= LIKE:
            right.add(int(fabric))
        else:
            words.append(f"{fabric}: colour off by {off:.1f}")
    missing = sorted(set(range(made.count)) - placed)
    tally.fabrics += made.count
    tally.placed += len(placed)
    tally.right += len(right)
    tally.spurious += spurious
    if len(right) < made.count or spurious:
        note = f"{title} {made.table}, nearest {made.nearest:.0f}: {len(right)} of {made.count}"
        extra = f", {spurious} spurious" if spurious else ""
        tally.failures.append(f"{note}{extra}; not placed {missing}; {'; '.join(words[:3])}")
    return len(right) == made.count and not spurious


def colour_off(read: np.ndarray, light: np.ndarray) -> float:
    """Difference between a colour that was read and the mean of true light."""
    return float(difference(read, light_to_lab(light.mean(axis=0))))


def overlay(made: scenes.Scene, found: Found) -> Image.Image:
    """Draw outlines and crops on the photo."""
    image = Image.open(io.BytesIO(made.jpeg)).convert("RGB")
    draw = ImageDraw.Draw(image)
    for number, piece in enumerate(found.pieces):
        for quad, colour in ((piece.quad, "red"), (found.inner(number), "yellow")):
            points = [tuple(point) for point in quad.array() * image.size]
            draw.line([*points, points[0]], fill=colour, width=3)
    image.thumbnail((640, 480))
    return image


def run(
    kind: str, count: int, first: int, tables: tuple[str, ...], reaching: tuple[str, ...] = ()
) -> tuple[Tally, list]:
    """Take `count` photos of a kind apart, with something that reaches into each by turns."""
    tally, pictures = Tally(), []
    for seed in range(first, first + count):
        made = scenes.scene(kind, seed, tables)
        if reaching:
            what = reaching[seed % len(reaching)]
            made = replace(made, jpeg=intruders.intruded(made.jpeg, what))
        start = time.process_time()
        photo = open_photo(made.jpeg, "table.jpg")
        found = find(photo, Lie(kind, made.rows, made.columns, made.count))
        tally.seconds.append(time.process_time() - start)
        right = judge(made, found, photo, tally, f"{kind} {seed}")
        tally.silent += not right and not found.warnings
        tally.alarms += right and bool(found.warnings)
        if not right or seed < first + 3:
            pictures.append(overlay(made, found))
    return tally, pictures


def large(kind: str) -> float:
    """Seconds for one photo of 12 megapixels, opening included: the best of three."""
    made = scenes.scene(kind, 1, scenes.TESTING, 4000)
    times = []
    for _ in range(3):
        start = time.process_time()
        photo = open_photo(made.jpeg, "table.jpg")
        find(photo, Lie(kind, made.rows, made.columns, made.count))
        times.append(time.process_time() - start)
    return min(times)


def sheet(pictures: list, path: str) -> None:
    """Write a contact sheet of overlays."""
    pictures = pictures[:12]
    page = Image.new("RGB", (3 * 650, -(-len(pictures) // 3) * 490))
    for number, picture in enumerate(pictures):
        page.paste(picture, (number % 3 * 650, number // 3 * 490))
    page.save(path)


def main() -> None:
    """Print the table."""
    plain = [word for word in sys.argv[1:] if word.isdigit()]
    count, first = ([int(word) for word in plain] + [40, 1000][len(plain) :])[:2]
    tables = scenes.TUNING if "--tuning" in sys.argv else scenes.TESTING
    reaching = intruders.INTRUDERS if "--intruders" in sys.argv else ()
    print(f"{count} photos of each kind from seed {first}; tables: {', '.join(tables)}; "
          f"photos of cloth {'used' if scenes.PHOTOS.is_dir() else 'not there'}")  # fmt: skip
    print("kind    fabrics  placed   right    goal  spurious  off p50/p95  whole     ms   12 MP")
    for kind in scenes.KINDS:
        tally, pictures = run(kind, count, first, tables, reaching)
        whole = 100 * np.mean(np.array(tally.off_whole) <= LIKE)
        half, most = np.percentile(tally.off, [50, 95])
        print(
            f"{kind:7} {tally.fabrics:7} {100 * tally.placed / tally.fabrics:7.2f} "
            f"{100 * tally.right / tally.fabrics:7.2f} {GOALS[kind]:7.1f} {tally.spurious:9} "
            f"{half:7.2f}/{most:.2f} {whole:6.1f} "
            f"{1000 * np.median(tally.seconds):6.0f} {1000 * large(kind):7.0f}"
        )
        print(f"    wrong without a word {tally.silent}, right with one {tally.alarms}")
        for failure in tally.failures:
            print("   ", failure)
        if "--sheet" in sys.argv:
            sheet(pictures, f"bundle_{kind}.png")


if __name__ == "__main__":
    main()
