"""Triangle units step by step: flying geese, half squares, quarter squares, half rectangles."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.booklet.chapters.kinds import Kind, kinds, makings
from api.booklet.chapters.upright import upright
from api.booklet.chapters.ways import WAYS
from api.booklet.parts import Heading, Part, Table, Words
from api.wording import english, methods

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.booklet.source import Source
    from placement.cloth.cutting import Then
    from placement.cloth.methods import Making


def unit_parts(source: Source) -> Iterator[Part]:
    """Yield how every kind of unit is made."""
    for kind in kinds(source):
        yield Heading(english.capital(english.plural_of(methods.UNITS[kind.unit.kind])))
        yield Words((_opening(source, kind),))
        ways = makings(source, kind)
        for making in ways:
            if len(ways) > 1:
                yield Words((_whose(source, making),))
            yield from upright(source, kind, making)
            yield from WAYS[kind.unit.kind, making.then](source, kind, making)
        yield from _tally(source, kind)


def _opening(source: Source, kind: Kind) -> str:
    return (
        f"Make {kind.name(kind.count)} for each block, {kind.trimmed(source)} with seam allowance."
    )


def _whose(source: Source, making: Making) -> str:
    """Say of which fabrics units are made in one of several ways."""
    way = english.capital(methods.WAYS[making.then])
    numbers = sorted(source.numbers[fabric] for fabric, _ in making.made if fabric)
    if len(numbers) in (0, len(source.numbers)):
        return f"{way}:"
    word = "fabric" if len(numbers) == 1 else "fabrics"
    return f"{way}, {word} {english.ranges(numbers)}:"


def _tally(source: Source, kind: Kind) -> Iterator[Part]:
    """Yield how many units each fabric makes; one row for fabrics that make as many."""
    groups: dict[tuple[int, tuple[tuple[Then, int], ...]], list[int]] = {}
    for fabric, blocks in source.layout.counts().items():
        ways = tuple(_ways(source, kind, fabric).items())
        groups.setdefault((blocks, ways), []).append(source.numbers[fabric])
    several = len(makings(source, kind)) > 1
    rows = []
    for (blocks, ways), numbers in sorted(groups.items(), reverse=True):
        count = blocks * kind.count
        made = kind.name(count)
        over = sum(units for _, units in ways) - count
        made += f" ({over} left over)" if over > 0 else ""
        row = [english.ranges(sorted(numbers)), english.number(blocks, "block"), made]
        rows.append((*row, *([methods.ways_listed(dict(ways))] if several else [])))
    how = ("How",) if several else ()
    yield Table(("Fabric", "Each makes", "From each", *how), tuple(rows), (0,))


def _ways(source: Source, kind: Kind, fabric: str) -> dict[Then, int]:
    """Return how many units of one fabric are made in which way."""
    found: dict[Then, int] = {}
    for making in makings(source, kind):
        for whose, units in making.made:
            if whose == fabric:
                found[making.then] = found.get(making.then, 0) + units
    return found
