"""Plans of every kind: all blocks, both settings, both units, forms of cloth, edges of all sorts.

One factory for every test that wants many plans. Each is made without arranging, its
fabrics shared out as its brief asks; drawn by lot, the same on every machine.
"""

from __future__ import annotations

import random
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from api.pattern.brief import Band, Brief, Copies, OwnBlock, Pin
from api.pattern.planner import look
from api.pattern.sewing import OwnCloth, Sewing
from api.pattern.swatch import Swatch
from api.pattern.turning import with_turns
from palette.colour import Lab
from palette.fabric import Fabric
from palette.fabric import Share as Part
from placement.block import block_names
from placement.cloth.methods import Geese, Quarters
from placement.inches import Inches
from placement.top.setting.layout import EMPTY, Layout
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from api.pattern.plan import Plan

_LENGTHS = {
    "inches": (("6", "8 1/2", "9", "10"), "1 1/2", ("1", "4"), "1/4", ("1/2", "12")),
    "metric": (("160 mm", "210 mm", "250 mm"), "40 mm", ("30 mm", "100 mm"), "7.5 mm",
               ("10 mm", "300 mm")),
}  # fmt: skip
"""Blocks, sashing, borders, seam allowance; squaring up and extra binding, in each unit."""

_OWN = OwnBlock("Corner wheel", ("1", "1"), ("1", "1"), ("B\\F F/B", "B/F B\\F"))
_UNEVEN = OwnBlock("Wide cross", ("4", "9", "4"), ("4", "9", "4"), ("F B F", "B S B", "F B F"))

FABRICS = 7
"""Fabrics in the bundle, of which the first six may lie in blocks."""

NAMES = ("Moss: dark, no. 2", "Rose", "Slate", 'Ink "9"', "Quince dots", "Pond", "Brick for 4")
"""Names that read like other things."""


def _swatch(name: str, number: int, lightness: float, *, directional: bool = False) -> Swatch:
    colour = Lab(lightness, 9.0 * (number % 3 - 1), 12.0 * (number % 5 - 2))
    fabric = Fabric(f"fabric-{number}", name, colour, (Part(colour, 1.0),))
    return Swatch(fabric, f"{number:064x}", directional=directional)


def varied(block: str | OwnBlock, seed: int, **decisions: Any) -> Plan:
    """Return a plan of a block in which everything else is drawn by lot.

    Parameters
    ----------
    block : str or OwnBlock
        Short name of a block, or a block of her own.
    seed : int
        Same block and seed, same plan.
    **decisions
        Fields of the brief that are not drawn.
    """
    rng = random.Random(seed)
    units = rng.choice(("inches", "metric"))
    blocks, sash, bands, seam, (squaring, extra) = _LENGTHS[units]
    setting = Setting(
        rng.choice(("on point", "straight")), rng.randint(2, 5), rng.randint(2, 5),
        Inches.parse(rng.choice(blocks)), rng.random() < 0.3,
        Inches.parse(rng.choice(("0", sash))), rng.random() < 0.6,
    )  # fmt: skip
    pointed = rng.choice((0.0, 0.4))
    swatches = tuple(
        _swatch(name, number, 25 + 8 * number, directional=rng.random() < pointed)
        for number, name in enumerate(NAMES[:FABRICS])
    )
    names = [swatch.fabric.id for swatch in swatches]
    brief = Brief(
        title=f"Quilt {seed}",
        swatches=swatches,
        backgrounds=(_swatch("Linen", 90, 93.0),),
        setting=setting,
        block=block if isinstance(block, str) else "plain-square",
        own_block=None if isinstance(block, str) else block,
        sashing_fabric=rng.choice(("", names[1])),
        cornerstone_fabric=rng.choice(("", names[2])),
        second_fabric=rng.choice(("", names[3])),
        binding_fabric=rng.choice(("", names[4])),
        backing_fabric=rng.choice(("", names[5], "fabric-90")),
        borders=tuple(
            Band(Inches.parse(rng.choice(bands)), rng.choice(("", *names[:5])))
            for _ in range(rng.randint(0, 3))
        ),
        units=units,
        sewing=replace(_sewing(rng, names, (seam, squaring, extra)), **_methods(seed)),
        pins=tuple(Pin(cell, EMPTY) for cell in rng.choice(((), (1,)))),
    )
    brief = replace(brief, sewing=_trimmed(brief.sewing, seed, sash))
    brief = replace(brief, **decisions)
    return _laid(brief, rng)


def _sewing(rng: random.Random, names: list[str], lengths: tuple[str, str, str]) -> Sewing:
    seam, squaring, extra = (Inches.parse(length) for length in lengths)
    return Sewing(
        seam=seam,
        squaring=squaring,
        extra=extra,
        triangles=rng.choice(("one", "two", "four", "eight")),
        form=rng.choice(("yardage", "fat quarter", "half yard")),
        cloths=(OwnCloth(names[0], "fat quarter", rng.randint(2, 5)),),
        corner=rng.choice(("butted", "mitred")),
        join=rng.choice(("diagonal", "straight")),
        grain=rng.choice(("straight", "bias")),
        shrinkage=float(rng.randint(0, 8)),
        side_square=rng.choice((None, Inches.parse(18))),
        corner_square=rng.choice((None, Inches.parse(10))),
    )


def _trimmed(sewing: Sewing, seed: int, length: str) -> Sewing:
    """Cut setting squares larger, and let blocks float, in some plans."""
    rng = random.Random(f"trim {seed}")
    oversize, floating = (Inches.parse(rng.choice(("0", "0", length))) for _ in range(2))
    return replace(sewing, oversize=oversize, floating=floating)


def _methods(seed: int) -> dict[str, Any]:
    """Draw how units are made, by lots of their own."""
    rng = random.Random(f"methods {seed}")
    drawn: dict[str, Any] = {
        "geese": rng.choice(tuple(Geese)),
        "quarters": rng.choice(tuple(Quarters)),
    }
    return {**drawn, "triangles": "strips"} if rng.random() < 0.2 else drawn


def _laid(brief: Brief, rng: random.Random) -> Plan:
    """Share the fabrics out over the cells as the brief says."""
    looked = look(brief)
    holes = {pin.cell for pin in brief.pins}
    free = [cell for cell in range(len(brief.setting.cells())) if cell not in holes]
    chosen = [swatch.fabric.id for swatch in brief.swatches][: rng.randint(2, 6)]
    laid = dict.fromkeys(holes, EMPTY)
    rng.shuffle(free)
    laid |= {cell: chosen[at % len(chosen)] for at, cell in enumerate(free)}
    fabrics = tuple(laid[cell] for cell in sorted(laid))
    copies = tuple(Copies(name, fabrics.count(name)) for name in dict.fromkeys(fabrics) if name)
    layout = Layout(brief.setting, fabrics, tuple(sorted(holes)))
    plan = replace(looked, brief=replace(brief, copies=copies))
    return replace(plan, layout=with_turns(plan, layout))


_TOUCHING = (
    Setting("straight", 4, 3, Inches.parse(6)),
    Setting("on point", 3, 3, Inches.parse("8 1/2")),
)
"""Settings in which blocks lie side by side, so that every other one turns."""

PLANS: dict[str, tuple[str | OwnBlock, int, dict[str, Any]]] = {
    **{
        f"{block} {turn}": (block, sum(block.encode()) * 31 + turn, {})
        for block in block_names()
        for turn in range(2)
    },
    **{
        f"{block} side by side": (block, 1 + at, {"setting": _TOUCHING[at % 2]})
        for at, block in enumerate(("nine-patch", "rail-fence", "ohio-star", "sawtooth-star"))
    },
    "own wheel": (_OWN, 5, {}),
    "own wheel again": (_OWN, 8, {}),
    "own cross": (_UNEVEN, 3, {}),
}
"""Name of each plan: its block, its seed and what is not drawn."""


def plan_named(name: str) -> Plan:
    """Return the plan of that name."""
    block, seed, decisions = PLANS[name]
    return varied(block, seed, **decisions)
