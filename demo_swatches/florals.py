"""Things that grow, drawn as motifs about one unit tall.

Each function names its inks in the order light to dark unless it says otherwise.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from demo_swatches.shapes import Motif, Outline, circle, closed, moved, path, stroke, turned, wobbly

if TYPE_CHECKING:
    from numpy.random import Generator


def petal(width: float, length: float = 1.0, notch: float = 0.0) -> Outline:
    """Return a petal that starts at the origin and points up."""
    half = width / 2
    right = [(half * 0.38, -0.18), (half * 0.95, -0.55), (half * 0.85, -0.88)]
    tip = [(half * 0.4, -1.0), (0, -1.0 + notch), (-half * 0.4, -1.0)]
    left = [(-x, y) for x, y in reversed(right)]
    return closed([(0, 0), *right, *tip, *left]) * (1, length)


def leaf(ink: int, rib: int, width: float = 0.42, bend: float = 0.12, shade: int = 0) -> Motif:
    """Return a leaf from the origin upwards, with its midrib and a shaded half."""
    spine = path([(0, 0), (bend * 0.7, -0.35), (bend, -0.7), (bend * 0.4, -1.0)])
    grow = np.sin(np.linspace(0, 1, len(spine)) ** 0.8 * np.pi)[:, None] * (width / 2, 0)
    outline = np.concatenate([spine + grow, (spine - grow)[::-1]])
    motif: Motif = [(outline, ink)]
    if shade:
        motif.append((np.concatenate([spine, (spine - grow * 0.92)[::-1]]), shade))
    motif.append((stroke(spine[: int(len(spine) * 0.9)], 0.05, 0.015), rib))
    for k in (0.28, 0.45, 0.62):
        motif += _side_veins(spine, grow, k, rib)
    return motif


def _side_veins(spine: Outline, grow: Outline, share: float, rib: int) -> Motif:
    start, end = spine[int(len(spine) * share)], int(len(spine) * (share + 0.16))
    return [
        (stroke(path([start, spine[end] + side * grow[end] * 0.75]), 0.025, 0.012), rib)
        for side in (-1, 1)
    ]


def anemone(rng: Generator, inks: tuple[int, int, int, int], petals: int = 6) -> Motif:
    """Return an open flower: petals with a dark throat, a ring of stamens, a heart.

    The inks are petal, throat, edge, heart.
    """
    light, throat, edge, heart = inks
    motif: Motif = []
    order = [*range(0, petals, 2), *range(1, petals, 2)]
    for k in order:
        angle = 360 / petals * k + rng.normal(0, 4)
        length = rng.normal(0.98, 0.04)
        width = 6.4 / petals * rng.normal(0.78, 0.03)
        motif += [
            (turned(petal(width * 1.1, length * 1.04, 0.05), angle), edge),
            (turned(petal(width, length, 0.06), angle), light),
            (turned(petal(width * 0.62, length * 0.62), angle), throat),
        ]
        motif += [
            (
                turned(stroke(path([(0, -0.3), (t * 0.7, -0.6), (t, -0.86)]), 0.022, 0.008), angle),
                edge,
            )
            for t in (-0.13 * width / 0.6, 0.0, 0.13 * width / 0.6)
        ]
    return motif + stamens(rng, heart, edge)


def stamens(rng: Generator, heart: int, thread: int, reach: float = 0.34) -> Motif:
    """Return the middle of a flower: threads with dots, and a heart."""
    motif: Motif = []
    for angle in np.arange(0, 360, 24) + rng.normal(0, 3, 15):
        far = reach * rng.uniform(0.82, 1.1)
        motif.append((turned(stroke(path([(0, 0), (0, -far)]), 0.022), angle), thread))
        motif.append((turned(circle(0.036, (0, -far), 12), angle), heart))
    return [*motif, (wobbly(rng, 0.15), heart), (circle(0.06, (0.02, 0.02)), thread)]


def rose(rng: Generator, inks: tuple[int, int, int, int]) -> Motif:
    """Return a full-blown rose from above; inks light, middle, deep, edge.

    Broad petals lie in rings, each ring smaller, over the last and turned against it; a
    dark hollow with curled petals makes the heart.
    """
    light, middle, deep, edge = inks
    rings = [(1.0, 5, light, 1.06), (0.76, 5, light, 1.0), (0.55, 4, middle, 1.0)]
    motif: Motif = []
    start, lean = rng.uniform(0, 360, 2)
    for radius, count, ink, width in rings:
        start += 180 / count + rng.normal(0, 6)
        for k in range(count):
            angle = start + 360 / count * k + rng.normal(0, 5)
            size = radius * rng.normal(1, 0.04)
            drift = turned(np.array([[0.0, 0.16 * (1 - radius)]]), lean)[0]
            motif += moved(_cupped(rng, width, (ink, middle, deep, edge)), drift, angle, size)
    return motif + moved(_rose_heart((light, middle, deep, edge)), drift, start, 0.34)


def _cupped(rng: Generator, width: float, inks: tuple[int, int, int, int]) -> Motif:
    """Return a broad petal pointing up: shadow around it, darker foot, veins, rolled lip."""
    ink, middle, deep, edge = inks
    dent = rng.uniform(0.0, 0.07)
    half = 0.62 * width
    rim = [(-half, -0.62), (-half * 0.72, -0.9), (-half * 0.3, -1.0), (0.02, -1.0 + dent)]
    rim += [(half * 0.35, -0.99), (half * 0.75, -0.88), (half, -0.6)]
    foot = [(half * 0.55, -0.22), (0, -0.05), (-half * 0.55, -0.22)]
    outline = closed([*rim, *foot])
    centre = np.array([0, -0.5])
    shaded = (outline - centre) * (0.8, 0.72) + centre * 0.78
    dark = (outline - centre) * (0.62, 0.5) + centre * 0.62
    veins = [
        (stroke(path([(x * 0.4, -0.42), (x * 0.8, -0.64), (x, -0.8)]), 0.02, 0.008), deep)
        for x in (-0.3, -0.12, 0.08, 0.27)
    ]
    return [
        ((outline - centre) * 1.07 + centre, edge),
        (outline, ink),
        (shaded, middle if ink != middle else deep),
        (dark, deep),
        *veins,
    ]


def _rose_heart(inks: tuple[int, int, int, int]) -> Motif:
    """Return the closed middle, one unit in radius: petals wound in a spiral."""
    light, middle, deep, edge = inks
    motif: Motif = [(circle(1.05), edge), (circle(0.98), middle)]
    for k in range(7):
        far, turn = 0.92 - 0.11 * k, 137.5 * k
        arc = np.radians(np.linspace(-75, 75, 9))
        back = np.stack([np.sin(arc) * far, -np.cos(arc) * far], axis=1)
        front = np.stack([np.sin(arc[::-1]) * far, -np.cos(arc[::-1]) * far * 0.58], axis=1)
        lip = np.concatenate([back, front])
        motif += [(turned(lip * 1.08, turn), edge), (turned(lip, turn), deep if k == 6 else light)]
        motif.append((turned(stroke(front[2:7], 0.07), turn), middle))
    return motif


def daisy(rng: Generator, ray: int, heart: int, edge: int = 0, rays: int = 13) -> Motif:
    """Return a daisy; edge 0 leaves out the shadow between the rays."""
    motif: Motif = []
    for k in range(rays):
        angle = 360 / rays * k + rng.normal(0, 3)
        length = rng.normal(0.95, 0.06)
        if edge:
            motif.append(
                (turned(stroke(path([(0, -0.2), (0.09, -length * 0.9)]), 0.03), angle), edge)
            )
        motif.append((turned(petal(0.34, length), angle), ray))
        if edge:
            motif.append((turned(stroke(path([(0, -0.3), (0, -0.7)]), 0.03, 0.01), angle), edge))
    return [*motif, (wobbly(rng, 0.27, 0.04), heart)]


def bud(ink: int, deep: int, green: int) -> Motif:
    """Return a closed bud on a short stalk, pointing up."""
    body = closed(
        [(0, -1), (0.26, -0.72), (0.27, -0.42), (0, -0.22), (-0.27, -0.42), (-0.26, -0.72)]
    )
    fold = closed([(0.02, -0.98), (0.2, -0.7), (0.12, -0.35), (0.0, -0.5)])
    cup = closed(
        [
            (0, -0.14),
            (0.2, -0.3),
            (0.27, -0.58),
            (0.1, -0.42),
            (0, -0.62),
            (-0.1, -0.42),
            (-0.27, -0.58),
            (-0.2, -0.3),
        ]
    )
    return [
        (stroke(path([(0.05, 0.15), (0, -0.25)]), 0.07), green),
        (body, ink),
        (fold, deep),
        (cup, green),
    ]


def sprig(rng: Generator, green: int, rib: int, pairs: int = 3, tip: Motif | None = None) -> Motif:
    """Return an upright stem with pairs of leaves, and something at its tip."""
    bend = rng.uniform(-0.12, 0.12)
    spine = path([(0, 0), (bend, -0.35), (bend * 0.6, -0.7), (0, -0.98)])
    motif: Motif = [(stroke(spine, 0.045, 0.025), green)]
    for k in range(pairs):
        at = spine[int(len(spine) * (0.18 + 0.62 * k / max(pairs, 1)))]
        size = 0.42 - 0.07 * k
        for side, turn in ((1, 52), (-1, -52)):
            motif += moved(
                leaf(green, rib, 0.46),
                at + np.array([0, -0.04 * (side > 0)]),
                turn + rng.normal(0, 6),
                size * rng.normal(1, 0.05),
                mirror=side < 0,
            )
    return motif + (moved(tip, spine[-1], rng.normal(0, 8), 0.3) if tip else [])


def pear(rng: Generator, inks: tuple[int, int, int, int]) -> Motif:
    """Return a hanging pear, its stalk at the origin; inks light, body, blush, stalk."""
    light, body, blush, stalk = inks
    right = [(0.11, -0.0), (0.17, 0.16), (0.24, 0.34), (0.34, 0.56), (0.31, 0.8), (0.14, 0.92)]
    outline = closed([(0, -0.05), *right, (0, 0.9), *[(-x * 0.97, y) for x, y in reversed(right)]])
    outline += np.array([0, 0.2])
    glow = closed(
        [(-0.1, 0.3), (-0.06, 0.45), (-0.12, 0.72), (-0.2, 0.92), (-0.27, 0.8), (-0.2, 0.55)]
    )
    cheek = closed(
        [
            (0.14, 0.35),
            (0.24, 0.54),
            (0.335, 0.76),
            (0.3, 1.0),
            (0.12, 1.11),
            (0.2, 0.9),
            (0.19, 0.65),
        ]
    )
    speckles: Motif = [
        (
            circle(rng.uniform(0.008, 0.014), (rng.normal(0.02, 0.09), rng.normal(0.82, 0.13)), 8),
            stalk,
        )
        for _ in range(14)
    ]
    eye = closed([(-0.05, 1.1), (0, 1.075), (0.05, 1.1), (0.0, 1.14)])
    hook = stroke(path([(0.04, -0.06), (0.02, 0.05), (0, 0.2)]), 0.045, 0.03)
    return [(outline, body), (cheek, blush), (glow, light), *speckles, (hook, stalk), (eye, stalk)]


def rosehip(inks: tuple[int, int, int, int]) -> Motif:
    """Return a hip, stalk at the origin, pointing up; inks glint, body, shade, crown."""
    glint, body, shade, crown = inks
    fruit = closed(
        [
            (0, -0.12),
            (0.24, -0.28),
            (0.27, -0.55),
            (0.1, -0.8),
            (-0.1, -0.8),
            (-0.27, -0.55),
            (-0.24, -0.28),
        ]
    )
    side = closed([(0.02, -0.13), (0.24, -0.28), (0.27, -0.55), (0.1, -0.8), (0.15, -0.5)])
    shine = closed([(-0.15, -0.38), (-0.1, -0.5), (-0.12, -0.62), (-0.18, -0.52)])
    tufts: Motif = [
        (stroke(path([(0, -0.78), (x * 0.5, -0.92), (x, -1.0)]), 0.06, 0.015), crown)
        for x in (-0.16, -0.05, 0.07, 0.17)
    ]
    return [*tufts, (fruit, body), (side, shade), (shine, glint)]


def hip_spray(rng: Generator, hip: tuple[int, int, int, int], green: int, rib: int) -> Motif:
    """Return an upright spray: an arching stem, leaves below, four hips on top."""
    spine = path([(0, 0), (0.1, -0.35), (0.05, -0.7), (-0.02, -0.95)])
    motif: Motif = [(stroke(spine, 0.028, 0.014), rib)]
    for share, turn in ((0.15, 62), (0.28, -58), (0.42, 55), (0.55, -60)):
        at = spine[int(len(spine) * share)]
        motif += moved(leaf(green, rib, 0.5), at, turn + rng.normal(0, 5), 0.35, mirror=turn < 0)
    for share, turn, size in (
        (0.66, 52, 0.32),
        (0.74, -46, 0.32),
        (0.86, 26, 0.29),
        (0.97, -12, 0.34),
    ):
        start = spine[int((len(spine) - 1) * share)]
        end = start + turned(np.array([[0, -0.14]]), turn)[0]
        motif.append((stroke(path([start, end]), 0.018), rib))
        motif += moved(rosehip(hip), end, turn * 0.8, size)
    return motif


def clover(rng: Generator, ink: int, mark: int) -> Motif:
    """Return a three-leaved clover with pale chevrons and a curved stalk."""
    motif: Motif = [(stroke(path([(0, 0), (0.08, 0.5), (-0.05, 0.95)]), 0.06, 0.04), ink)]
    for angle in (0, 120, 240):
        turn = angle + rng.normal(0, 5)
        motif.append((turned(petal(0.95, 0.8, 0.2), turn), ink))
        chevron = path([(-0.26, -0.52), (0, -0.34), (0.26, -0.52)])
        motif.append((turned(stroke(chevron, 0.06), turn), mark))
    return motif


def blossom(rng: Generator, ink: int, blush: int, heart: int, edge: int) -> Motif:
    """Return a five-petalled fruit blossom."""
    motif: Motif = []
    for k in range(5):
        angle = 72 * k + rng.normal(0, 4)
        motif += [
            (turned(petal(0.98, 1.03, 0.1), angle), edge),
            (turned(petal(0.9, 0.98, 0.1), angle), ink),
            (turned(petal(0.4, 0.55), angle), blush),
        ]
    return motif + stamens(rng, heart, edge, 0.3)
