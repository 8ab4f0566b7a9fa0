"""Measure what is kept out of the reading: hands, the table's edge, glare, lint; and the harm.

    OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 python tests/bench/bench_foreign_objects.py 40

Skin is the two skin patches of the ColorChecker (colour-science), shaded across
as a hand is; tables are any colour; prints and the camera are made up (prints.py).
"""

from __future__ import annotations

import sys
import time

import colour
import numpy as np
import prints  # beside this script
from scipy.ndimage import gaussian_filter

from palette.colour import difference, lab_to_light
from palette.photo.foreign_objects import strays
from palette.photo.open import open_photo
from palette.photo.read import read

EACH = int(sys.argv[1]) if len(sys.argv) > 1 else 40
"""Photos of each kind."""
SIZE = (450, 600)
SKIN = ("dark skin", "light skin")
FINE = ("solid", "stripes", "dots", "floral", "check", "tone on tone")


def skin(rng: np.random.Generator) -> np.ndarray:
    """Light of skin between the two patches, lit as the cloth is."""
    chart = colour.CCS_COLOURCHECKERS["ColorChecker24 - After November 2014"]
    xyz = [colour.xyY_to_XYZ(chart.data[name]) for name in SKIN]
    light = [
        colour.XYZ_to_RGB(one, "sRGB", chart.illuminant, apply_cctf_encoding=False) for one in xyz
    ]
    part = rng.random()
    return np.clip(part * light[0] + (1 - part) * light[1], 0.01, 1)


def hand(rng: np.random.Generator) -> np.ndarray:
    """How much of a hand covers each pixel: a thumb or two fingers, from one edge."""
    height, width = SIZE
    y, x = np.mgrid[0:height, 0:width]
    cover = np.zeros(SIZE, dtype=bool)
    start = rng.uniform(0.15, 0.85) * width
    angle = rng.uniform(-0.6, 0.6)
    long, thick = rng.uniform(0.25, 0.6) * height, rng.uniform(0.06, 0.13) * width
    for finger in range(rng.integers(1, 3)):
        left = start + 1.9 * finger * thick
        along = np.clip((height - y) * np.cos(angle) + (x - left) * np.sin(angle), -thick, long)
        away = np.hypot(x - left - along * np.sin(angle), height - y - along * np.cos(angle))
        cover |= away < thick
    return np.rot90(cover, 2) if rng.random() < 0.5 else cover


def table(rng: np.random.Generator) -> np.ndarray:
    """Which pixels show the table: a strip, or two, of any slant."""
    height, width = SIZE
    y, x = np.mgrid[0:height, 0:width]
    cover = x < width * rng.uniform(0.05, 0.15) + y * rng.uniform(-0.06, 0.06)
    if rng.random() < 0.5:
        cover |= y < height * rng.uniform(0.05, 0.15) + x * rng.uniform(-0.06, 0.06)
    return cover


def glare(rng: np.random.Generator) -> np.ndarray:
    """How strongly a lamp is mirrored in each pixel."""
    height, width = SIZE
    y, x = np.mgrid[0:height, 0:width]
    middle = rng.uniform(0.2, 0.8, 2) * SIZE
    size = rng.uniform(0.08, 0.14) * height
    return np.exp(-((((y - middle[0]) ** 2 + (x - middle[1]) ** 2) / size**2) ** 2))


def lint(rng: np.random.Generator) -> np.ndarray:
    """Which pixels show lint: thirty short threads."""
    cover = np.zeros(SIZE, dtype=bool)
    for _ in range(30):
        y, x = rng.uniform(0, SIZE[0]), rng.uniform(0, SIZE[1])
        angle = rng.uniform(0, np.pi)
        for step in np.arange(0, rng.uniform(6, 25), 0.5):
            row, column = int(y + step * np.sin(angle)), int(x + step * np.cos(angle))
            cover[row % SIZE[0], column % SIZE[1]] = True
    return cover


def spoilt(kind: str, light: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """Lay something on a cloth's light."""
    if kind == "glare":
        return light + 1.5 * glare(rng)[..., None]
    if kind == "lint":
        return np.where(lint(rng)[..., None], 0.8, light)
    cover = hand(rng) if kind == "hand" else table(rng)
    colour_of = (
        skin(rng) if kind == "hand" else lab_to_light(rng.uniform((15, -25, -25), (92, 25, 40)))
    )
    shade = np.exp(gaussian_filter(rng.normal(0, 1, SIZE), 40) * 12)[..., None]
    soft = gaussian_filter(cover.astype(float), 1.0)[..., None]
    return soft * np.clip(colour_of * shade, 0, 1) + (1 - soft) * light


def row(name: str, kind: str | None, features: tuple[float, float], rng) -> None:
    """Print one line: photos where something was left out, and the error of the reading."""
    found, before, after, spent = 0, [], [], 0.0
    for index in range(EACH):
        width = float(np.exp(rng.uniform(*np.log(features))))
        drawn = prints.draw(FINE[index % len(FINE)], rng, SIZE[1], SIZE[0], width)
        clean = drawn.light if kind is None else spoilt(kind, drawn.light, rng)
        taken = prints.photograph(
            prints.Print(drawn.kind, drawn.dyes, drawn.shares, clean), rng, fall=0.2
        )
        data = prints.jpeg(taken)
        photo = open_photo(data, name)
        start = time.process_time()
        found += bool(strays(photo))
        spent += time.process_time() - start
        for whole, errors in ((True, before), (False, after)):
            reads_as = read(data, id="a", name="A", whole=whole).fabric.reads_as
            errors.append(float(difference(reads_as.array(), drawn.reads_as)))
    numbers = (
        100 * found / EACH,
        *np.percentile(before, (50, 95)),
        *np.percentile(after, (50, 95)),
    )
    print(f"{name:34}" + "".join(f"{n:9.2f}" for n in (*numbers, 1000 * spent / EACH)))


def main() -> None:
    """Print all of it."""
    rng = np.random.default_rng(77)
    print(f"{'':34}{'left out':>9}{'reads-as':>18}{'with it left out':>18}{'CPU':>9}")
    print(f"{'':34}{'%':>9}{'median':>9}{'p95':>9}{'median':>9}{'p95':>9}{'ms':>9}")
    for kind in ("hand", "table", "glare", "lint"):
        row(f"{kind} on fine prints (to 24 px)", kind, (4, 24), rng)
    for kind in ("hand", "table"):
        row(f"{kind} on larger prints (24-60 px)", kind, (24, 60), rng)
    row("nothing, fine prints", None, (4, 24), rng)
    row("nothing, larger prints", None, (24, 60), rng)
    row("nothing, huge prints (60-200 px)", None, (60, 200), rng)


if __name__ == "__main__":
    main()
