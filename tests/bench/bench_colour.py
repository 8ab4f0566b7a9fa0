"""How true colours are that are read from photos.

Run as ``python tests/bench/bench_colour.py``; it prints a table for each part.
Goals stand in brackets. Lights, reflectances and fields differ from those the
methods and tables were made with; differences are CIEDE2000.
"""

from __future__ import annotations

import io
import os
import sys
import time
from itertools import chain
from pathlib import Path

os.environ.update(OMP_NUM_THREADS="1", OPENBLAS_NUM_THREADS="1")
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import numpy as np
from PIL import Image
from scipy.optimize import minimize

from palette.colour import Lab, difference, lab_to_light, light_to_lab, srgb_to_light
from palette.photo.light import falling_light
from palette.photo.open import Photo, light_of, open_photo
from palette.photo.read import read
from palette.photo.reduce import cloth_of, main_colours, without_folds
from palette.photo.reference import Reference
from palette.photo.scale import at_working_scale
from palette.photo.white_paper import chart_reference, white_reference
from palette.uncertainty import SURE, chance_below
from tests.bench import cards, photographed, prints, spectra


def main() -> None:
    """Print everything."""
    white_card()
    cards_in_photos()
    uncertainty()
    falling()
    main_colours_of_prints()
    speed()


def spread(values: object) -> str:
    """Median and 95th percentile."""
    flat = np.concatenate([np.ravel(part) for part in values])  # type: ignore[attr-defined]
    return f"{np.median(flat):5.2f} /{np.percentile(flat, 95):6.2f}"


def white_card() -> None:
    """Absolute colours and differences of pairs by spectral simulation."""
    print("White card: 99 reflectances x 16 household lights, median / p95")
    print("  [white: daylight 1.3 / 3.7, all 2.9 / 8.8; pairs in one daylight photo 0.3 / 1.5]")
    print("  limit: the 3 x 3 matrix that is best for each photo, every true colour being known")
    for name in spectra.CAMERAS:
        kinds = {kind: _corrected(name, each) for kind, each in spectra.HOUSEHOLD_LIGHTS.items()}
        kinds["all"] = tuple(list(chain(*parts)) for parts in zip(*kinds.values(), strict=True))
        kinds["CIE daylight"] = _corrected(name, spectra.CIE_DAYLIGHTS)
        heads = ("none", "white", "chart", "limit", "pairs (white)", "pairs (limit)")
        print(f"  {name:22}", "".join(f"{head:17}" for head in heads))
        for kind, parts in kinds.items():
            print(f"    {kind:12}    ", "    ".join(spread(part) for part in parts))
        _self_balanced(name)


def _corrected(camera: str, lights: tuple[str, ...]) -> tuple[list[np.ndarray], ...]:
    eye, cloths, chart = (
        spectra.camera(camera),
        spectra.cie_reflectances(),
        spectra.chart_reflectances(),
    )
    true, known = spectra.truth(cloths), spectra.truth(chart)
    columns: list[tuple[np.ndarray, ...]] = []
    for light in lights:
        source = spectra.light_source(light)
        seen, card = _exposed(eye, source)
        by_paper = light_to_lab(_by_paper(card).correct(seen))
        exposure = 0.72 / eye.light(spectra.paper()[None], source).max()
        by_chart = chart_reference(exposure * eye.light(chart, source), known)
        limit = light_to_lab(_best(seen, true).correct(seen))
        columns.append(
            (
                difference(light_to_lab(eye.light(cloths, source)), true),
                difference(by_paper, true),
                difference(light_to_lab(by_chart.correct(0.9 * seen)), true),
                difference(limit, true),
                _pair_errors(by_paper, true),
                _pair_errors(limit, true),
            )
        )
    return tuple(list(column) for column in zip(*columns, strict=True))


def _exposed(
    eye: spectra.Camera, source: np.ndarray, cast: float = 1.0
) -> tuple[np.ndarray, np.ndarray]:
    """Light of the cloths and of paper in a photo that just does not clip the paper."""
    paper = eye.light(spectra.paper()[None], source, cast)[0]
    exposure = 0.8 / paper.max()
    return exposure * eye.light(spectra.cie_reflectances(), source, cast), exposure * paper


def _by_paper(card: np.ndarray) -> Reference:
    return white_reference(card, Lab.rounded(spectra.truth(spectra.paper()[None])[0]))


def _best(seen: np.ndarray, true: np.ndarray) -> Reference:
    """Fit the matrix of least mean difference to the truth; no photo tells it."""

    def left(matrix: np.ndarray) -> float:
        return float(difference(light_to_lab(seen @ matrix.reshape(3, 3).T), true).mean())

    start = np.linalg.lstsq(seen, lab_to_light(true), rcond=None)[0].T.ravel()
    found = minimize(left, start, method="Powell", options={"maxiter": 6}).x.reshape(3, 3)
    return Reference(tuple(map(tuple, found.tolist())), "chart")


def _pair_errors(lab: np.ndarray, true: np.ndarray) -> np.ndarray:
    """How wrong differences below 6 between two cloths of a photo are."""
    first, second = np.triu_indices(len(true), 1)
    apart = difference(true[first], true[second])
    return np.abs(difference(lab[first], lab[second]) - apart)[apart < 6]


def _self_balanced(camera: str) -> None:
    """Print what white does for cameras that balance white by themselves, all lights."""
    true = spectra.truth(spectra.cie_reflectances())
    for cast, own in ((0.5, False), (0.1, False), (0.1, True)):
        left = []
        for light in sum(spectra.HOUSEHOLD_LIGHTS.values(), ()):
            eye = spectra.camera(camera, light if own else "D65")
            seen, card = _exposed(eye, spectra.light_source(light), cast)
            left.append(difference(light_to_lab(_by_paper(card).correct(seen)), true))
        words = "a matrix for each light" if own else "one matrix"
        print(f"    balances white but for {cast:.0%} of the cast, {words}: {spread(left)}")


def cards_in_photos() -> None:
    """Whole photos with paper on the cloth."""
    found, off, bare, marked = 0, [], [], []
    for seed in range(5):
        for kind in prints.KINDS:
            rng = np.random.default_rng([31, seed])
            tint, stops = float(rng.choice([0, 0.1, 0.25])), rng.uniform(-1, -0.1)
            scene = cards.scene(kind, rng, fall=0.25, tint=tint, stops=stops)
            for white, into in (("auto", off), (scene.marked, marked), (None, bare)):
                reading = read(scene.jpeg, id="a", name="a", white=white)
                found += white == "auto" and reading.reference is not None
                apart = difference(reading.fabric.reads_as.array(), scene.drawn.reads_as)
                if white != "auto" or reading.reference is not None:
                    into.append(apart)
    print(f"\nPaper in a photo (light falls by 25 %, lamp, up to a stop dark): found {found} of 35")
    print(f"  reads-as found {spread([off])}  marked {spread([marked])}  ignored {spread([bare])}")


def uncertainty() -> None:
    """Stated chances beside what held."""
    print("\nSureness: twins within 4.0; stated and true rate in % (pairs) [within 5 points]")
    lights = sum(spectra.HOUSEHOLD_LIGHTS.values(), ())
    grid = np.linspace(0, 60, 601)
    for seed, (name, how) in enumerate(photographed.CASES.items()):
        seen = photographed.pairs(how, spectra.cie_reflectances(), lights, 20_000, 500 + seed)
        chances = [chance_below(4.0, float(g), name) for g in grid]  # type: ignore[arg-type]
        stated = np.interp(seen.measured, grid, chances)
        groups = {
            "twins": stated >= SURE,
            "too close to tell": (stated > 1 - SURE) & (stated < SURE),
            "different": stated <= 1 - SURE,
        }
        words = [
            f"{what} {100 * stated[group].mean():.0f} / {100 * (seen.true[group] < 4).mean():.0f}"
            f" ({group.sum()})"
            for what, group in groups.items()
            if group.any()
        ]
        print(f"  {name:23}", "; ".join(words))


def falling() -> None:
    """Print what is left of light from a small window, and harm where light is even."""
    print("\nLight: rms % left, median / p95 [25 % fall 0.3 / 0.8; harm 0.2]")
    for fall in (0.25, 0.0):
        by_kind = {kind: [_left(kind, fall, seed) for seed in range(12)] for kind in prints.KINDS}
        whole = spread(list(by_kind.values()))
        each = ", ".join(f"{kind} {np.median(left):.2f}" for kind, left in by_kind.items())
        print(f"  fall {fall:4.0%}: {whole}  ({each})")


def _left(kind: str, fall: float, seed: int) -> float:
    rng = np.random.default_rng([77, seed, prints.KINDS.index(kind)])
    drawn = prints.draw(kind, rng, 256, 192, rng.uniform(6, 40))
    field = cards.window(rng, fall, 192, 256)
    light = np.maximum(drawn.light * field[..., None], 0)
    light = light + rng.normal(0, 1, light.shape) * np.sqrt(1e-5 + 4e-4 * light)
    seen = srgb_to_light(np.asarray(prints.image(light)) / 255)
    rest = falling_light(seen, np.ones(field.shape, dtype=bool)) / field
    return float(100 * rest.std() / rest.mean())


def main_colours_of_prints() -> None:
    """Print main colours with their number unknown."""
    print("\nMain colours, light falling by 25 %, JPEG 85, number unknown")
    print("  [all under 1: 97 %, missed 1 %, spurious 3 %, 15 ms; features >= 12 px]")
    for words, times, sizes in (
        ("photo of 768 px, features 12-40 px at working scale", 3, (12, 40)),
        ("the same, fine: 6-10 px", 3, (6, 10)),
        ("the same, very fine: 3-5 px", 3, (3, 5)),
        ("photo of 256 px, where JPEG smears colour: 12-40 px", 1, (12, 40)),
    ):
        rows = [_main(kind, seed, times, sizes) for kind in prints.KINDS for seed in range(8)]
        worst, true, found, missed, spurious, took = np.array(rows).T
        print(
            f"  {words}: median {np.median(worst):.2f}, all under 1 {(worst < 1).mean():.0%}, "
            f"missed {missed.sum() / true.sum():.1%}, spurious {spurious.sum() / found.sum():.1%}, "
            f"{1000 * np.median(took):.1f} ms"
        )


def _main(kind: str, seed: int, times: int, sizes: tuple[int, int]) -> tuple[float, ...]:
    rng = np.random.default_rng([91, seed, prints.KINDS.index(kind)])
    drawn = prints.draw(kind, rng, 256 * times, 192 * times, times * rng.uniform(*sizes))
    lit = drawn.light * cards.window(rng, 0.25, 192 * times, 256 * times)[..., None]
    lit = lit + rng.normal(0, 1, lit.shape) * np.sqrt(1e-5 + 4e-4 * lit)
    photo = open_photo(prints.jpeg(lit), "print")
    start = time.process_time()
    lab = _colours(photo)
    took = time.process_time() - start
    large = drawn.shares >= 0.02
    apart = difference(drawn.dyes[:, None], lab[None])
    near = apart.min(axis=1)[large]
    twice = (np.bincount(apart.argmin(axis=0), minlength=len(drawn.dyes)) - 1).clip(0).sum()
    spurious = max((apart.min(axis=0) > 3).sum(), twice)
    return near.max(), large.sum(), len(lab), (near > 3).sum(), spurious, took


def _colours(photo: Photo) -> np.ndarray:
    view = at_working_scale(photo)
    light, counts = light_of(view.photo)
    field = falling_light(light, counts)
    cloth = cloth_of(light / field[..., None], counts, grainy=view.grainy)
    return without_folds(cloth, *main_colours(cloth))[0]


def speed() -> None:
    """Processor time from a 12 megapixel JPEG to a fabric."""
    rng = np.random.default_rng(1)
    drawn = prints.draw("floral", rng, 1000, 750, 40)
    large = prints.image(prints.photograph(drawn, rng)).resize(
        (4000, 3000), Image.Resampling.BICUBIC
    )
    grain = rng.normal(0, 5, (3000, 4000, 1))
    pixels = np.clip(np.asarray(large) + grain, 0, 255).astype(np.uint8)
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, "JPEG", quality=88)
    print(f"\n12 megapixel JPEG of {out.tell() / 1e6:.1f} MB to a fabric [65 ms on one core]")
    for words, white in (("as it is", None), ("looking for paper", "auto")):
        took = []
        for _ in range(7):
            start = time.process_time()
            read(out.getvalue(), id="a", name="a", white=white)
            took.append(time.process_time() - start)
        print(f"  {words}: {1000 * np.median(took):.0f} ms, best {1000 * min(took):.0f} ms")


if __name__ == "__main__":
    main()
