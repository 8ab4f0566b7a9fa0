"""The bundle: thirty cottons of a late summer orchard, and three backgrounds."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from zlib import crc32

import numpy as np
from numpy.random import Generator

from demo_swatches import geometrics, layouts
from demo_swatches.camera import Shot
from demo_swatches.weave import CHAMBRAY, GINGHAM, LINEN, Cloth, Weave, printed, solid

Sew = Callable[[Generator], Cloth]


@dataclass(frozen=True, slots=True)
class Swatch:
    """One photo to make."""

    stem: str
    """Name of the file, without its ending."""
    name: str
    """Name as spoken."""
    sew: Sew
    """Makes the cloth."""
    shot: Shot
    """How it is photographed."""

    def cloth(self) -> Cloth:
        """Return the cloth, the same at every call."""
        return self.sew(np.random.default_rng(crc32(self.stem.encode())))


def _swatch(stem: str, name: str, sew: Sew, **shot: float) -> Swatch:
    """Return a swatch whose photo is left to chance where the shot does not say."""
    seed = crc32(f"photo of {stem}".encode())
    chance = np.random.default_rng(seed)
    usual = {
        "tilt": float(chance.normal(0, 1.8)),
        "window": float(chance.choice([165, 190, 215, 240])),
        "fall": float(chance.uniform(0.24, 0.38)),
        "waves": float(chance.uniform(0.6, 1.2)),
        "crease": float(chance.choice([0.0, 0.0, 0.7, 1.0])),
    }
    return Swatch(stem, name, sew, Shot(seed, **(usual | shot)))


def _woven(
    weave: Weave, warp: list[tuple[str, int]], weft: list[tuple[str, int]] | None = None
) -> Sew:
    return lambda _: Cloth(warp, weft or warp, weave)


def _plum_to_rose() -> list[Swatch]:
    return [
        _swatch(
            "damson-bloom",
            "Damson bloom",
            lambda rng: printed(
                "#3f1f3a",
                [
                    "#e0abab",
                    "#b9677a",
                    "#873856",
                    "#5b2747",
                    "#e3ad4f",
                    "#8b9c7c",
                    "#4d5f4c",
                    "#66795f",
                    "#b58ba0",
                ],
                layouts.garden(rng),
            ),
        ),
        _swatch(
            "plum-pindot",
            "Plum pin dot",
            lambda rng: printed("#632f57", ["#e9c6c0"], geometrics.dots(rng, 34, 4.6)),
        ),
        _swatch(
            "mulberry-gingham",
            "Mulberry gingham",
            _woven(GINGHAM, [("#7c2c4d", 14), ("#efe0da", 14)]),
        ),
        _swatch(
            "lilac-daisies",
            "Lilac daisies",
            lambda rng: printed(
                "#9583ab", ["#f3eadf", "#e0b04c", "#5f6f5c", "#d9c3dc"], layouts.ditsy(rng)
            ),
        ),
        _swatch(
            "rose-briar",
            "Rose briar",
            lambda rng: printed(
                "#cd8c90",
                ["#ecc4bd", "#dda09f", "#b3626f", "#9c5262", "#a98c78", "#8f7467"],
                layouts.briar(rng),
            ),
        ),
        _swatch("rosehip-solid", "Rosehip", lambda _: solid("#b22d33")),
        _swatch(
            "rosehip-spray",
            "Rosehip spray",
            lambda rng: printed(
                "#f0e6d2",
                ["#f0a184", "#c23a32", "#8f2630", "#5b3a2f", "#7c8a5a", "#53603f"],
                layouts.hips(rng),
            ),
        ),
    ]


def _brick_to_straw() -> list[Swatch]:
    return [
        _swatch(
            "brick-tiles",
            "Brick tiles",
            lambda _: printed("#9c4433", ["#e9c9ae", "#d99a6c"], geometrics.tiles(62)),
        ),
        _swatch(
            "russet-seed",
            "Russet seed",
            lambda rng: printed("#b05c2c", ["#8a4120", "#d9955f"], geometrics.seeds(rng, 34)),
        ),
        _swatch(
            "harvest-plaid",
            "Harvest plaid",
            _woven(
                GINGHAM,
                [
                    ("#a94a2e", 22),
                    ("#e2b04a", 4),
                    ("#5a3a2e", 12),
                    ("#ead9b8", 3),
                    ("#5a3a2e", 12),
                    ("#e2b04a", 4),
                    ("#a94a2e", 22),
                    ("#c98a5a", 16),
                ],
            ),
        ),
        _swatch(
            "apricot-petals",
            "Apricot petals",
            lambda rng: printed(
                "#e09a63",
                ["#f8e3c6", "#ef9d86", "#b95c3e", "#c8762c", "#8d8a52", "#6a6a3d"],
                layouts.petals(rng),
            ),
        ),
        _swatch(
            "quince-dots",
            "Quince dots",
            lambda rng: printed(
                "#dfb23a",
                ["#f6ebcd", "#b9822a"],
                geometrics.tossed_dots(rng, 260, [17.0] * 12 + [10.0] * 22 + [5.0] * 40),
            ),
        ),
        _swatch(
            "marigold-heads",
            "Marigold heads",
            lambda rng: printed(
                "#cc4d1d",
                ["#ffb11f", "#f58a12", "#c0410f", "#6b2a14", "#6d7a22", "#3f4a1c"],
                layouts.marigolds(rng),
            ),
        ),
        _swatch(
            "straw-ticking",
            "Straw ticking",
            _woven(
                GINGHAM,
                [
                    ("#e6cf8e", 16),
                    ("#8a6a3c", 2),
                    ("#e6cf8e", 2),
                    ("#8a6a3c", 5),
                    ("#e6cf8e", 2),
                    ("#8a6a3c", 2),
                ],
                [("#ead69d", 1)],
            ),
        ),
    ]


def _greens() -> list[Swatch]:
    return [
        _swatch(
            "pear-branch",
            "Pear branch",
            lambda rng: printed(
                "#29383b",
                ["#e6d98a", "#bdb54c", "#c98a4a", "#7a5a44", "#7d9168", "#3f5444", "#5c7553"],
                layouts.pears(rng),
            ),
            width=900,
            height=1100,
        ),
        _swatch(
            "moss-sprig",
            "Moss sprig",
            lambda rng: printed(
                "#585f2e", ["#a9ae69", "#848b48", "#efe0b0", "#d9a441"], layouts.sprigs(rng)
            ),
        ),
        _swatch(
            "orchard-grass",
            "Orchard grass",
            lambda rng: printed("#919d62", ["#808d54"], geometrics.crosshatch(rng, 240, 9)),
        ),
        _swatch(
            "meadow-grass",
            "Meadow grass",
            lambda rng: printed("#8d9a69", ["#7c8a5f"], geometrics.crosshatch(rng, 240, 11)),
        ),
        _swatch(
            "sage-vine",
            "Sage vine",
            lambda rng: printed(
                "#a9b79b",
                ["#6e7f66", "#7f927a", "#dfe3cf", "#f2e8d3", "#6e8069"],
                layouts.vine(rng),
            ),
        ),
        _swatch(
            "ivy-windowpane",
            "Ivy windowpane",
            _woven(CHAMBRAY, [("#25453a", 34), ("#c9cfae", 2), ("#25453a", 3), ("#c9cfae", 2)]),
        ),
    ]


def _blues() -> list[Swatch]:
    return [
        _swatch(
            "pond-scallop",
            "Pond scallop",
            lambda _: printed(
                "#2f6268", ["#d3ddc8", "#2f6a70", "#5c959a"], geometrics.scallops(74)
            ),
        ),
        _swatch(
            "slate-chambray", "Slate chambray", _woven(CHAMBRAY, [("#3f6588", 1)], [("#8ca5b8", 1)])
        ),
        _swatch("rain-slate", "Rain slate", lambda _: solid("#69869d")),
        _swatch(
            "dusk-stars",
            "Dusk stars",
            lambda rng: printed("#303f6b", ["#efdca4", "#8d9dc0"], geometrics.stars(rng, 52)),
        ),
        _swatch(
            "cloud-stripe",
            "Cloud stripe",
            _woven(
                GINGHAM,
                [("#a3bccf", 13), ("#eef0ea", 7), ("#7f9fba", 3), ("#eef0ea", 7)],
                [("#c9d7df", 1)],
            ),
        ),
        _swatch("sloe-night", "Sloe night", lambda _: solid("#1b1a28")),
    ]


def _neutrals() -> list[Swatch]:
    return [
        _swatch("bark-linen", "Bark linen", _woven(LINEN, [("#6d5340", 1)], [("#826751", 1)])),
        _swatch(
            "milk-clover",
            "Milk clover",
            lambda rng: printed("#ece4d3", ["#f8f3e8", "#e9e0cd"], layouts.clovers(rng)),
        ),
        _swatch(
            "apple-blossom",
            "Apple blossom",
            lambda rng: printed(
                "#f3e4dc",
                ["#fbf4ec", "#eccac4", "#dcb3ac", "#d9b56c", "#c5cbb0"],
                layouts.blossom_twigs(rng),
            ),
        ),
        _swatch("buttermilk", "Buttermilk", _woven(CHAMBRAY, [("#f2e7c6", 1)], [("#f6eed6", 1)])),
    ]


def _backgrounds() -> list[Swatch]:
    return [
        _swatch(
            "background-oat-linen", "Oat linen", _woven(LINEN, [("#ebdcc0", 1)], [("#f1e4cb", 1)])
        ),
        _swatch("background-morning-mist", "Morning mist", lambda _: solid("#c3d0d6")),
        _swatch("background-ink", "Ink", lambda _: solid("#1c2942")),
    ]


SWATCHES: tuple[Swatch, ...] = (
    *_plum_to_rose(),
    *_brick_to_straw(),
    *_greens(),
    *_blues(),
    *_neutrals(),
    *_backgrounds(),
)
"""All of them in the order of the bundle, backgrounds last."""
