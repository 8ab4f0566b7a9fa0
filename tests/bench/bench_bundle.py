"""How well one photo of a bundle is taken apart.

A fabric counts as right when its crop lies wholly inside it, covers at least
two fifths of it, and reads within 1.5 (CIEDE2000) of the true light of the
fabric there. How often it also reads within 1.5 of the whole fabric is told
apart: a large print reads differently from part to part. Tables, prints and
photos of cloth are of a family that nothing was tuned on; fabrics differ from
the table by at least 12 in the mean.

With --intruders a floor, feet or scissors reach into every photo by turns; with
--troubles fabrics with gaps are photographed with a hard shadow on them, a window's
reflection in the table, outermost fabrics cut off, and narrow gaps under a slant. Of
a fabric that is cut off nothing is asked but that it is told.

Run: python tests/bench/bench_bundle.py [photos of each kind] [first seed] --cloth FOLDER
"""

from __future__ import annotations

import argparse
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

from palette.bundle.crop import cut
from palette.bundle.find import Lie, find
from palette.bundle.result import BundleFault
from palette.colour import difference, light_to_lab
from palette.photo.open import Photo, histogram, open_photo
from palette.photo.reduce import mean_light
from tests.bench import intruders, scenes, tables, troubles

if TYPE_CHECKING:
    from palette.bundle.result import Found

GOALS = {"spread": 99.5, "narrow": 99.5, "grid": 100.0, "stack": 98.0}
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
    wrong: int = 0
    """Pieces that are wrong."""
    unsaid: int = 0
    """Of those, pieces that no warning names."""
    named: int = 0
    """Pieces that are right and that a warning names."""


def judge(made: scenes.Scene, found: Found, photo: Photo, tally: Tally, title: str) -> bool:
    """Compare what was found with the truth; whether all is right."""
    height, width = made.labels.shape
    areas = np.bincount(made.labels.ravel() + 1, minlength=made.count + 1)[1:]
    placed, right, spurious, words = set(), set(), 0, []
    said = {number for warning in found.warnings for number in warning.pieces}
    faulty = set()
    for number in range(len(found.pieces)):
        corners = found.inner(number).array() * [width, height]
        seen = made.labels[polygon(corners[:, 1], corners[:, 0], made.labels.shape)]
        fabric = int(np.bincount(seen + 1).argmax()) - 1
        if fabric < 0:
            spurious += 1
            faulty.add(number)
            continue
        pure, covers = (seen == fabric).mean(), (seen == fabric).sum() / areas[fabric]
        if pure < 1 or covers < COVERS or fabric in placed:
            words.append(f"{fabric}: {pure:.1%} inside, covers {covers:.0%}")
            faulty.add(number)
            continue
        placed.add(fabric)
        crop = cut(photo, found, number)
        read = light_to_lab(mean_light(histogram(crop), crop.meaning))
        there = polygon(corners[:, 1], corners[:, 0], made.labels.shape)
        off = colour_off(read, made.light[there])
        tally.off.append(off)
        tally.off_whole.append(colour_off(read, made.light[made.labels == fabric]))
        if off <= LIKE:
            right.add(fabric)
        else:
            words.append(f"{fabric}: colour off by {off:.1f}")
    asked = set(range(made.count)) - made.cut
    told = not made.cut or any(told.fault == BundleFault.CUT_OFF for told in found.warnings)
    missing = sorted(asked - placed)
    tally.fabrics += len(asked)
    tally.placed += len(placed & asked)
    tally.right += len(right & asked)
    tally.spurious += spurious
    tally.wrong += len(faulty)
    tally.unsaid += len(faulty - said)
    tally.named += len(said - faulty)
    good = asked <= right and not faulty and told
    if not good:
        note = f"{title} {made.table}, nearest {made.nearest:.0f}: {len(right)} of {made.count}"
        extra = f", {spurious} spurious" if spurious else ""
        extra += "" if told else ", cut off and not told"
        tally.failures.append(f"{note}{extra}; not placed {missing}; {'; '.join(words[:3])}")
    return good


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


def lie(made: scenes.Scene, kind: str) -> Lie:
    """Say how fabrics of a kind lie."""
    kind = "spread" if kind == "narrow" else kind
    return Lie(kind, made.rows, made.columns, made.count)


def run(kind: str, trouble: str, wish: argparse.Namespace) -> tuple[Tally, list]:
    """Take photos of a kind apart, with something that reaches into each by turns or troubles."""
    tally, pictures = Tally(), []
    family = tables.TUNING if wish.tuning else tables.TESTING
    photos = cloths(wish.cloth)
    for seed in range(wish.first, wish.first + wish.count):
        made = scenes.scene(kind, seed, family, photos=photos)
        if wish.intruders:
            what = intruders.INTRUDERS[seed % len(intruders.INTRUDERS)]
            made = replace(made, jpeg=intruders.intruded(made.jpeg, what))
        if trouble:
            made = troubles.troubled(made, trouble, seed)
        start = time.process_time()
        photo = open_photo(made.jpeg, "table.jpg")
        found = find(photo, lie(made, kind))
        tally.seconds.append(time.process_time() - start)
        right = judge(made, found, photo, tally, f"{kind} {seed}")
        tally.silent += not right and not found.warnings
        tally.alarms += right and bool(found.warnings)
        if not right or seed < wish.first + 3:
            pictures.append(overlay(made, found))
    return tally, pictures


def large(kind: str) -> float:
    """Seconds for one photo of 12 megapixels, opening included: the best of three."""
    made = scenes.scene(kind, 1, tables.TESTING, 4000)
    times = []
    for _ in range(3):
        start = time.process_time()
        photo = open_photo(made.jpeg, "table.jpg")
        find(photo, lie(made, kind))
        times.append(time.process_time() - start)
    return min(times)


def sheet(pictures: list, path: str) -> None:
    """Write a contact sheet of overlays."""
    pictures = pictures[:12]
    page = Image.new("RGB", (3 * 650, -(-len(pictures) // 3) * 490))
    for number, picture in enumerate(pictures):
        page.paste(picture, (number % 3 * 650, number // 3 * 490))
    page.save(path)


def cloths(folder: Path | None) -> tuple[Path, ...]:
    """List the pictures of real cloth in a folder."""
    every = sorted(folder.glob("*.[jpw]*")) if folder else []
    return tuple(path for path in every if not path.name.startswith("camera"))


def wishes() -> argparse.Namespace:
    """Read the command line."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("count", type=int, nargs="?", default=40)
    parser.add_argument("first", type=int, nargs="?", default=1000)
    parser.add_argument("--cloth", type=Path, help="folder of pictures of real cloth")
    for flag in ("--tuning", "--intruders", "--troubles", "--sheet"):
        parser.add_argument(flag, action="store_true")
    return parser.parse_args()


def main() -> None:
    """Print the table."""
    wish = wishes()
    kinds = [("spread", what) for what in troubles.TROUBLES] + [("narrow", "")]
    if not wish.troubles:
        kinds = [(kind, "") for kind in scenes.KINDS if kind != "narrow"]
    print(f"{wish.count} photos of each kind from seed {wish.first}; {vars(wish)}")
    print(
        "kind        fabrics  placed   right    goal  spurious  off p50/p95  whole     ms   12 MP"
    )
    for kind, trouble in kinds:
        tally, pictures = run(kind, trouble, wish)
        whole = 100 * np.mean(np.array(tally.off_whole) <= LIKE)
        half, most = np.percentile(tally.off, [50, 95])
        print(
            f"{trouble or kind:11} {tally.fabrics:7} {100 * tally.placed / tally.fabrics:7.2f} "
            f"{100 * tally.right / tally.fabrics:7.2f} {GOALS[kind]:7.1f} {tally.spurious:9} "
            f"{half:7.2f}/{most:.2f} {whole:6.1f} {1000 * np.median(tally.seconds):6.0f} "
            f"{'' if trouble else format(1000 * large(kind), '7.0f')}"
        )
        print(f"    wrong without a word {tally.silent}, right with one {tally.alarms}; pieces: "
              f"wrong {tally.wrong}, of those not named {tally.unsaid}, right ones named "
              f"{tally.named}")  # fmt: skip
        for failure in tally.failures:
            print("   ", failure)
        if wish.sheet:
            sheet(pictures, f"bundle_{trouble or kind}.png")


if __name__ == "__main__":
    main()
