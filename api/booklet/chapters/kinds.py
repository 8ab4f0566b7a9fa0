"""The kinds of triangle units of a block, and what is said of any of them."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from api.wording import english
from api.wording.methods import UNITS
from placement.block import GEESE, Patch
from placement.inches import Inches
from placement.units import Unit, UnitKind, take_down

if TYPE_CHECKING:
    from api.booklet.source import Source
    from placement.cloth.methods import Making


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of unit of the block."""

    unit: Unit
    """As the block is taken apart."""
    patch: Patch
    """The first of its kind in the block."""
    count: int
    """How many a block takes."""

    def name(self, count: int) -> str:
        """Say how many units."""
        return english.number(count, UNITS[self.unit.kind])

    def trimmed(self, source: Source) -> str:
        """Return the size to trim to."""
        block, seam = source.layout.setting.block_size, source.seam
        width, height = (
            Inches(part * block.value + 2 * seam.value)
            for part in (self.unit.width, self.unit.height)
        )
        return source.sides(width, height)


def kinds(source: Source) -> tuple[Kind, ...]:
    """Return the kinds of triangle units of the block."""
    return tuple(
        Kind(unit, next(p for p in source.block.patches if _is(unit, p)), count)
        for unit, count in take_down(source.block).units.items()
    )


def _is(unit: Unit, patch: Patch) -> bool:
    cuts = {UnitKind.GOOSE: GEESE, UnitKind.QUARTER: ("x",)}.get(unit.kind, ("/", "\\"))
    same_size = {patch.width, patch.height} == {unit.width, unit.height}
    roles = patch.roles[:2] if patch.cut in GEESE else patch.roles
    same_roles = Counter(roles) == Counter(unit.roles)
    return patch.cut in cuts and same_size and same_roles


def makings(source: Source, kind: Kind) -> tuple[Making, ...]:
    """Return the ways a kind of unit is made; more than one if a count leaves a rest."""
    return tuple(making for making in source.book.makings if making.unit == kind.unit)


def one_way(source: Source, kind: Kind, making: Making) -> tuple[str, ...]:
    """Return the fabrics of units made in one way whose print has an up."""
    cloths: dict[str, None] = {}
    for fabric, _ in making.made:
        for letter in kind.unit.roles:
            cloths[source.fixed.get(letter) or fabric] = None
    return tuple(name for name in cloths if name and source.swatch(name).directional)


def role(source: Source, letter: str) -> str:
    """Name the cloth of a role in words."""
    name = source.role(letter)
    return name if name == "background" else f"{name} fabric"


def pressed(source: Source, kind: Kind) -> str:
    """Say which way the seams of a kind of unit are pressed, and of how many in a block."""
    plans = [
        Counter(toward(source, patch, plan) for patch in like(source, kind))
        for plan in range(len(source.book.pressing.plans))
    ]
    first = plans[0]
    if any("" in plan for plan in plans):
        return (
            "Press the seam allowance to one side. The drawing of the block shows the side on "
            "which it nests in each place."
        )
    if all(len(plan) == 1 for plan in plans):
        ways = [role(source, *plan) for plan in plans]
        if len(set(ways)) == 1:
            return f"Press the seam allowance toward the {ways[0]}."
        return (
            f"Press the seam allowance toward the {ways[0]} for blocks of the first pressing, "
            f"toward the {ways[1]} for those of the second; Blocks of each fabric lists how many."
        )
    several = english.listed(
        [f"{count} toward the {role(source, way)}" for way, count in first.items()]
    )
    return f"Of each {kind.count} press {several}, as the drawing of the block shows."


def like(source: Source, kind: Kind) -> list[Patch]:
    """Return the patches of the block that are units of a kind."""
    return [patch for patch in source.block.patches if _is(kind.unit, patch)]


def toward(source: Source, patch: Patch, plan: int = 0) -> str:
    """Return the role that all seams of one unit are pressed to; '' if there is no one role."""
    pressing = source.book.pressing
    found = {
        seam.roles[choice]
        for seam, choice in zip(pressing.seams, pressing.plans[plan], strict=True)
        if not seam.straight and _inside(seam.start, seam.end, patch)
    }
    return found.pop() if len(found) == 1 and len(set(patch.roles)) > 1 else ""


def pairs_pressed(source: Source, kind: Kind) -> str:
    """Say which way the short seams of quarter squares are pressed, so that they oppose.

    They do where both are pressed toward one of two opposite triangles alike, or both the same
    way round.
    """
    pressing, found = source.book.pressing, set()
    patches = like(source, kind)
    for choices in pressing.plans:
        for seam, choice in zip(pressing.seams, choices, strict=True):
            inside = any(_inside(seam.start, seam.end, patch) for patch in patches)
            if inside and not seam.straight and seam.length < float(kind.unit.width):
                found.add(seam.roles[choice])
    roles = kind.unit.roles
    if len(found) == 1 and roles[0] != roles[1]:
        return f"toward the {role(source, found.pop())}"
    if roles[0] == roles[2] and roles[1] == roles[3]:
        return "toward the same fabric"
    return "the same way round"


def _inside(start: tuple[object, ...], end: tuple[object, ...], patch: Patch) -> bool:
    xs = patch.left, patch.left + patch.width
    ys = patch.top, patch.top + patch.height
    return all(xs[0] <= x <= xs[1] and ys[0] <= y <= ys[1] for x, y in (start, end))  # type: ignore[operator]
