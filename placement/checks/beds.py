"""The judge of quilts for beds: they cover top, both sides and foot, and no more than need be."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from placement.checks.fault import Fault, FaultKind, fault
from placement.checks.lattice import size
from placement.inches import Inches
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from collections.abc import Iterator


_NEAR = 1e-6


@dataclass(frozen=True, slots=True)
class BedAsked:
    """A bed, and the pattern that is to cover it."""

    mattress: tuple[float, float]
    """Its width and length, inches."""
    drop: float
    """How far the quilt hangs down at both sides and the foot, inches."""
    like: Setting
    """Blocks and sashing of the pattern; its counts do not matter."""
    least: Inches
    """Finished width that all borders together have at least."""
    step: Inches
    """To what a wider border is rounded up."""
    beyond: float = 0.0
    """How far the edge of the blocks lies beyond their points, inches."""


@dataclass(frozen=True, slots=True)
class BedTold:
    """What is told of it."""

    setting: Setting
    """Blocks across and down."""
    border: Inches
    """Finished width of all borders together on each side."""
    wanted: tuple[float, float]
    """Width and height that cover the bed, inches."""
    size: tuple[float, float]
    """Width and height of the quilt, inches."""


def judge_bed(asked: BedAsked, told: BedTold) -> tuple[Fault, ...]:
    """List the faults of one quilt for a bed.

    Parameters
    ----------
    asked : BedAsked
        The bed and the pattern.
    told : BedTold
        What is to be judged.
    """
    return tuple(_faults(asked, told))


def _faults(asked: BedAsked, told: BedTold) -> Iterator[Fault]:
    drop, edge = asked.drop, float(told.border)
    needed = asked.mattress[0] + drop + drop, asked.mattress[1] + drop
    centre = _centre(told.setting, asked.beyond)
    for side in (0, 1):
        if abs(told.wanted[side] - needed[side]) > _NEAR:
            yield fault(FaultKind.BED_WANTED, said=told.wanted[side], found=needed[side])
        made = centre[side] + 2 * edge
        if abs(told.size[side] - made) > _NEAR:
            yield fault(FaultKind.BED_SIDE, said=told.size[side], found=made)
        if made < needed[side] - _NEAR:
            yield fault(FaultKind.BED_UNCOVERED, said=made, wanted=needed[side])
    yield from _border(asked, told, needed)
    yield from _blocks(asked, told, needed)


def _centre(setting: Setting, beyond: float) -> tuple[float, float]:
    width, height = size(setting)
    return width + 2 * beyond, height + 2 * beyond


def _border(asked: BedAsked, told: BedTold, needed: tuple[float, float]) -> Iterator[Fault]:
    """Judge that no narrower border would do."""
    if told.border == asked.least:
        return
    narrower = 2 * (float(told.border) - float(asked.step))
    covers = all(
        centre + narrower >= side - _NEAR
        for centre, side in zip(_centre(told.setting, asked.beyond), needed, strict=True)
    )
    if told.border < asked.least or told.border.value % asked.step.value or covers:
        yield fault(FaultKind.BED_WIDE, said=told.border)


def _blocks(asked: BedAsked, told: BedTold, needed: tuple[float, float]) -> Iterator[Fault]:
    """Judge that one block less, in the borders as they are, leaves a side bare; one more not."""
    like, mine = replace(asked.like, across=1, down=1), told.setting
    if replace(mine, across=1, down=1) != like:
        yield fault(FaultKind.BED_BLOCKS, said=mine.across)
    edge = 2 * float(asked.least)
    for side, count in enumerate((mine.across, mine.down)):
        reach = [
            _centre(replace(like, across=max(1, blocks), down=max(1, blocks)), asked.beyond)[side]
            + edge
            for blocks in (count - 1, count + 1)
        ]
        more_than_one = count > 1
        if (more_than_one and reach[0] >= needed[side] - _NEAR) or reach[1] < needed[side] - _NEAR:
            yield fault(FaultKind.BED_BLOCKS, said=count)
