"""Threads on fabrics: planted cases, published colour pairs, and Munsell's value steps."""

from __future__ import annotations

import csv
from math import erf
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest

from palette.colour import Lab, difference
from palette.fabric import Fabric, Share
from palette.thread import (
    KEPT,
    MOST,
    PLAIN,
    SHOWS,
    VANISHES,
    Judged,
    Line,
    Thread,
    calm,
    judge_threads,
    plain_threads,
    showy,
    verdict,
)

if TYPE_CHECKING:
    from types import ModuleType

SHARMA = Path(__file__).parents[1] / "data" / "ciede2000_sharma.csv"


def spun(name: str, *lab: float) -> Thread:
    """Return a thread."""
    return Thread(name, name, Lab(*lab))


def woven(name: str, *parts: tuple[float, tuple[float, float, float]]) -> Fabric:
    """Return a fabric of colours with their shares."""
    shares = tuple(Share(Lab(*lab), share) for share, lab in parts)
    return Fabric(name, name, shares[0].colour, shares)


def solid(name: str, *lab: float) -> Fabric:
    """Return a fabric of one colour."""
    return Fabric(name, name, Lab(*lab), (Share(Lab(*lab), 1.0),))


def one(thread: Thread, fabric: Fabric) -> Line:
    """Judge one thread on one fabric."""
    (judged,) = judge_threads([thread], [fabric])
    return judged.lines[0]


WHITE, BLACK, PLUM = (97.0, 0.0, 2.0), (14.0, 0.0, 0.0), (34.0, 26.0, -14.0)


def test_a_thread_of_the_colour_of_a_solid_vanishes_there() -> None:
    for lab in (WHITE, BLACK, PLUM):
        line = one(spun("thread", *lab), solid("cloth", *lab))
        assert (line.verdict, line.contrast) == ("vanishes", 0)


def test_black_on_white_shows_and_so_does_white_on_black() -> None:
    assert one(spun("thread", *BLACK), solid("cloth", *WHITE)).verdict == "shows"
    assert one(spun("thread", *WHITE), solid("cloth", *BLACK)).verdict == "shows"


def test_a_line_is_held_against_each_colour_by_its_share() -> None:
    # Planted: the thread is the colour of a part of the cloth and far from the rest.
    for share, expected in ((0.8, "vanishes"), (0.5, "soft"), (0.2, "shows")):
        cloth = woven("cloth", (share, WHITE), (1 - share, BLACK))
        line = one(spun("thread", *WHITE), cloth)
        assert line.verdict == expected
        whole = one(spun("thread", *WHITE), solid("cloth", *BLACK)).contrast
        assert line.contrast == pytest.approx((1 - share) * whole)


def test_two_thirds_of_a_line_decide() -> None:
    assert verdict(MOST, 0.0) == "shows"
    assert verdict(MOST - 0.01, 0.0) == "soft"
    assert verdict(0.0, MOST) == "vanishes"
    assert verdict(0.0, MOST - 0.01) == "soft"


def test_a_thread_as_strong_as_cloth_would_be_the_published_difference() -> None:
    # Sharma, Wu, Dalal 2005, 'The CIEDE2000 color-difference formula', table 1. The thread is
    # chosen so that what is left of its contrast for the eye is the second colour of the pair.
    tried = 0
    with SHARMA.open(encoding="utf-8") as rows:
        for row in csv.DictReader(line for line in rows if not line.startswith("#")):
            numbers = np.array([float(value) for value in row.values()])
            first, second, published = numbers[:3], numbers[3:6], numbers[6]
            thread = first + (second - first) / np.array(KEPT)
            if not (0 <= thread[0] <= 100 and np.abs(thread[1:]).max() <= 200):
                continue
            line = one(spun("thread", *thread), solid("cloth", *first))
            assert line.contrast == pytest.approx(published, abs=1e-4)
            tried += 1
    assert tried > 20


def test_what_is_left_of_a_thin_line_follows_the_kernels_of_s_cielab() -> None:
    # Zhang and Wandell 1996, table 1, weights and widths in degrees, from memory; a kernel is
    # exp(-(r / width)^2), so a line of half width h keeps erf(h / width) of it.
    kernels = (
        ((0.921, 0.0283), (0.105, 0.133), (-0.108, 4.336)),
        ((0.531, 0.0392), (0.330, 0.494)),
        ((0.488, 0.0536), (0.371, 0.386)),
    )
    half = float(np.degrees(np.arctan(0.2 / 1000)))
    for kept, kernel in zip(KEPT, kernels, strict=True):
        total = sum(weight for weight, _ in kernel)
        left = sum(weight * erf(half / width) for weight, width in kernel) / total
        assert kept == pytest.approx(left, abs=0.01)


@pytest.fixture(scope="module")
def ladders(colour_science: ModuleType) -> np.ndarray:
    """Return real Munsell colours of one hue and chroma at values v to v + 3, as Lab (n, 4, 3).

    The renotation data (Newhall, Nickerson, Judd 1943) in colour-science, under illuminant C.
    """
    white = colour_science.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["C"]
    real = {name: np.array(xyy) for name, xyy in colour_science.MUNSELL_COLOURS["real"]}

    def lab(name: tuple[str, float, float]) -> np.ndarray:
        x, y, percent = real[name]
        xyz = colour_science.xyY_to_XYZ([x, y, percent / 100])
        return np.asarray(colour_science.XYZ_to_Lab(xyz, white))

    steps = [[(h, v + k, c) for k in range(4)] for h, v, c in real if v >= 2]
    return np.array([[lab(name) for name in row] for row in steps if all(n in real for n in row)])


def test_a_value_step_vanishes_and_three_show(ladders: np.ndarray) -> None:
    assert len(ladders) > 500
    cloth = ladders[:, 0]
    apart = [difference(cloth + np.array(KEPT) * (ladders[:, k] - cloth), cloth) for k in (1, 2, 3)]
    assert (apart[0] < VANISHES).mean() > 0.99
    assert (apart[2] >= SHOWS).mean() > 0.95
    assert VANISHES < np.median(apart[1]) < 1.2 * SHOWS


def test_value_counts_for_more_than_hue() -> None:
    # Tansley and Boynton 1978 for edges; for thread common practice.
    cloth = solid("cloth", 50, 0, 0)
    lighter, redder = spun("a", 75, 0, 0), spun("b", 50, 25, 0)
    assert one(lighter, cloth).contrast > one(redder, cloth).contrast


def judged(name: str, *lines: tuple[str, float]) -> Judged:
    """Return a thread with verdicts planted."""
    made = (Line(f"f{k}", word, far) for k, (word, far) in enumerate(lines))  # type: ignore[arg-type]
    return Judged(spun(name, 50, 0, 0), tuple(made))


def test_the_calm_pick_vanishes_on_most_and_then_is_least_strong() -> None:
    two = judged("two", ("vanishes", 1), ("vanishes", 2), ("shows", 30))
    also = judged("also", ("vanishes", 4), ("vanishes", 4), ("shows", 12))
    loud = judged("loud", ("vanishes", 1), ("shows", 9), ("shows", 9))
    assert calm([loud, two, also]) == "also"
    assert calm([loud, two]) == "two"


def test_the_showy_pick_shows_on_most_and_then_is_never_weak() -> None:
    two = judged("two", ("shows", 40), ("shows", 40), ("vanishes", 1))
    also = judged("also", ("shows", 9), ("shows", 9), ("soft", 6))
    shy = judged("shy", ("shows", 60), ("soft", 7), ("soft", 7))
    assert showy([shy, two, also]) == "also"
    assert showy([shy, two]) == "two"


def test_on_a_quilt_of_all_values_a_middle_grey_is_calmer_than_black_and_white() -> None:
    fabrics = [solid(f"v{k}", light, 0, 0) for k, light in enumerate(range(10, 96, 5))]
    plain = {entry.thread.id: entry for entry in judge_threads(plain_threads(), fabrics)}
    worst = {name: max(line.contrast for line in entry.lines) for name, entry in plain.items()}
    assert worst["plain:grey"] < min(worst["plain:white"], worst["plain:black"])
    grey, black = (len(plain[name].where("shows")) for name in ("plain:grey", "plain:black"))
    assert grey < black


def test_without_fabrics_or_threads_there_is_no_pick() -> None:
    nothing = judge_threads(plain_threads(), [])
    assert (calm(nothing), showy(nothing), calm([]), showy([])) == (None, None, None, None)
    assert nothing[0].lines == ()
    assert judge_threads([], [solid("cloth", *WHITE)]) == ()


def test_the_plain_threads_are_unlike_each_other_and_plainly_named() -> None:
    lab = np.array([thread.colour.array() for thread in plain_threads()])
    apart = difference(lab[:, None], lab[None]) + 100 * np.eye(len(lab))
    assert apart.min() > 8
    for label, (name, _) in PLAIN.items():
        assert label == "plain:" + name.lower().replace("mid ", "").replace(" ", "-")
