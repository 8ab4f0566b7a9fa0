"""Real photos of a chart of 24 patches on office paper: how far each patch is off."""

from __future__ import annotations

import json
import warnings
from itertools import combinations_with_replacement
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image, ImageDraw
from scipy.spatial import ConvexHull

from palette.colour import Lab, difference, light_to_lab, srgb_to_light
from palette.photo.white_paper import chart_reference, white_reference
from palette.uncertainty import Case, likely

if TYPE_CHECKING:
    from pathlib import Path

GREY, WHITE = 21, 18
"""Patches 22 (neutral 5) and 19 (white), counted from 0."""
_INSIDE = 0.6
"""Part of a patch that is read, each way."""


def truth() -> np.ndarray:
    """Lab of the 24 patches in D65 (edition of November 2014, as colour-science has it)."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

    chart = colour.CCS_COLOURCHECKERS["ColorChecker24 - After November 2014"]
    d65 = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    xyz = np.array([colour.xyY_to_XYZ(value) for value in chart.data.values()])
    adapted = colour.chromatic_adaptation(
        xyz, colour.xy_to_XYZ(chart.illuminant), colour.xy_to_XYZ(d65), method="Von Kries"
    )
    return np.asarray(colour.XYZ_to_Lab(adapted, d65))


def photographed(folder: Path) -> dict[str, tuple[np.ndarray, np.ndarray]]:
    """Light of the patches, shape (24, 3), and of the paper round the chart, by photo."""
    places = json.loads((folder / "patches.json").read_text(encoding="utf-8"))
    return {name: _seen(folder / name, entry["quads"]) for name, entry in places.items()}


def errors(folder: Path) -> dict[str, dict[str, np.ndarray]]:
    """How far patches are off in each photo, by what corrects it."""
    true, rows = truth(), {}
    for name, (seen, paper) in photographed(folder).items():
        grey = white_reference(np.minimum(seen[GREY], 0.96), Lab.rounded(true[GREY]))
        by = {
            "as taken": difference(light_to_lab(seen), true),
            "paper alone": _by(white_reference(paper), seen, true),
            "mid-grey card": np.delete(_by(grey, seen, true), GREY),
            "chart, leave one out": np.array(
                [_left_out(seen, true, number) for number in range(len(true))]
            ),
        }
        for how, found in by.items():
            rows.setdefault(how, {})[name] = found
    return rows


def _by(reference, seen, true):
    return difference(light_to_lab(reference.correct(seen)), true)


def _left_out(seen, true, number):
    others = np.arange(len(true)) != number
    reference = chart_reference(seen[others], true[others])
    return float(_by(reference, seen[number], true[number]))


def _seen(path: Path, quads: list) -> tuple[np.ndarray, np.ndarray]:
    with Image.open(path) as opened:
        image = opened.convert("RGB")
    light = srgb_to_light(np.asarray(image) / 255)
    seen = []
    for quad in map(np.array, quads):
        middle = quad.mean(axis=0)
        seen.append(light[_inside(middle + (quad - middle) * _INSIDE, image.size)].mean(axis=0))
    points = np.array(quads).reshape(-1, 2)
    hull = points[ConvexHull(points).vertices]
    middle = hull.mean(axis=0)
    chart, wide = (middle + (hull - middle) * times for times in (1.12, 1.5))
    round_it = _inside(wide, image.size) & ~_inside(chart, image.size)
    level = light @ [0.2126, 0.7152, 0.0722]
    bright = round_it & (level > np.percentile(level[round_it], 40))
    return np.array(seen), np.median(light[bright], axis=0)


def _inside(points: np.ndarray, size: tuple[int, int]) -> np.ndarray:
    mask = Image.new("L", size)
    ImageDraw.Draw(mask).polygon([tuple(point) for point in points], fill=1)
    return np.asarray(mask) > 0


BANDS = ((0, 5), (5, 10), (10, 15), (15, 20), (20, 30))
"""Measured differences that bounds are held in."""


def held(folder: Path) -> dict[str, list[tuple[int, float, float]]]:
    """Count how often the true difference of two patches keeps the bounds stated for it.

    For each case and each of BANDS: pairs, part that keeps them, part below them. Pairs are of two
    different patches, in one photo, in two of the same group, or in two of different groups.
    """
    seen = photographed(folder)
    true = truth()
    corrected = {
        name: light_to_lab(white_reference(paper).correct(light))
        for name, (light, paper) in seen.items()
    }
    taken = {name: light_to_lab(light) for name, (light, _) in seen.items()}
    found = {}
    for case in Case:
        labs = taken if "as taken" in case else corrected
        pairs = [
            (labs[first], labs[second])
            for first, second in combinations_with_replacement(labs, 2)
            if _stand(first, second) == case.split(",")[0]
        ]
        first, second = np.nonzero(~np.eye(len(true), dtype=bool))
        measured = np.concatenate([difference(a[first], b[second]) for a, b in pairs])
        really = np.tile(difference(true[first], true[second]), len(pairs))
        bounds = np.array([likely(float(each), case) for each in measured])
        found[case.value] = [_in_band(measured, really, bounds, band) for band in BANDS]
    return found


def _stand(first: str, second: str) -> str:
    if first == second:
        return "one photo"
    return "same light" if first.split("_")[0] == second.split("_")[0] else "other light"


def _in_band(measured, really, bounds, band) -> tuple[int, float, float]:
    here = (measured >= band[0]) & (measured < band[1])
    low, high = bounds[here].T
    true = really[here]
    if not len(true):
        return 0, np.nan, np.nan
    return len(true), float(((true >= low) & (true <= high)).mean()), float((true < low).mean())
