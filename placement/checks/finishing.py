"""The judge of what is told beside the cutting list: setting squares, own squares, sashing.

Counts come from places on the lattice, sizes from the inradius of a right triangle:
moving all three sides out by the seam scales it by 1 + q / r.
"""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING

from placement.checks.fault import Fault, FaultKind, fault
from placement.checks.pieces import Shape, Top, demand, long_lengths

if TYPE_CHECKING:
    from collections import Counter
    from collections.abc import Iterator, Sequence

    from placement.top.setting.finishing import Sashing
    from placement.top.setting.triangles import OwnSquare, SettingSquares

_NEAR = 1e-6
_SIXTEENTH = 1 / 16
"""Inches: the mark to which a block is measured."""


def judge_squares(top: Top, squares: Sequence[SettingSquares]) -> tuple[Fault, ...]:
    """List the faults of the squares told for side and corner triangles.

    Parameters
    ----------
    top : Top
        The quilt top.
    squares : sequence of SettingSquares
        What is to be judged.
    """
    return tuple(_squares(top, squares))


def _squares(top: Top, squares: Sequence[SettingSquares]) -> Iterator[Fault]:
    for kind, gives in (("side", 4), ("corner", 2)):
        needed = _setting_triangles(top, kind)
        told = [entry for entry in squares if entry.kind == kind]
        if len(told) != (needed > 0):
            yield fault(FaultKind.SETTING_SQUARES, said=len(told), found=needed)
        for entry in told:
            spare = entry.squares * gives - needed
            if entry.triangles != needed or not 0 <= spare < gives:
                yield fault(FaultKind.SETTING_SQUARES, said=entry.triangles, found=needed)
            exact = exact_square(top, kind)
            over = float(entry.cut) - exact - top.larger
            on_a_mark = not entry.cut.value % top.step.value
            rounded = -_NEAR < over < float(top.step) - _NEAR and on_a_mark
            own = top.own.get(kind)
            if not (rounded if own is None else entry.cut == own):
                yield fault(FaultKind.SETTING_SQUARE, said=entry.cut, wanted=exact)
            if abs(entry.exact - exact) > _NEAR:
                yield fault(FaultKind.SETTING_SQUARE, said=entry.exact, wanted=exact)


def _setting_triangles(top: Top, kind: str) -> int:
    shape, long = ("long", sqrt(2)) if kind == "side" else ("legs", sqrt(0.5))
    if top.layout.setting.kind == "straight":
        return 0
    side = round(float(top.layout.setting.block_size) * long, 7)
    wanted: Shape = (shape, side, 0.0 if kind == "side" else side)
    return _bare(top)[top.background, wanted]


def _bare(top: Top) -> Counter[tuple[str, Shape]]:
    """Return what lies in the top beside its pieced blocks."""
    blocks = demand(top)
    blocks.subtract(demand(top, around=False))
    return blocks


def exact_square(top: Top, kind: str) -> float:
    """Return the side of the square that setting triangles are cut from, before rounding."""
    q, block = float(top.seam), float(top.layout.setting.block_size)
    if kind == "side":
        # Cut twice: the triangle's long side, a block's diagonal, is the square's side.
        long = block * sqrt(2)
        return long * (1 + 2 * q / (long * (sqrt(2) - 1)))
    # Cut once: its legs are half a block's diagonal.
    leg = block / sqrt(2)
    return leg * (1 + 2 * q / (leg * (2 - sqrt(2))))


def edge_beyond(top: Top, floating: float) -> float:
    """Return how far the edge of a top must lie beyond its blocks' points, inches.

    A triangle's right angle is half as far from its long side as that is long: a square larger
    by d moves the edge out by d / 2; of a corner's legs each moves by as much.
    """
    setting = top.layout.setting
    if setting.kind == "straight":
        return 0.0
    kinds = ("side", "corner") if setting.across + setting.down > 2 else ("corner",)
    reach = [0.0 if setting.sashing.value else floating]
    for kind in kinds:
        own = top.own.get(kind)
        if own is not None:
            reach.append((float(own) - exact_square(top, kind)) / 2)
    return min(reach)


def judge_own(top: Top, own: Sequence[OwnSquare]) -> tuple[Fault, ...]:
    """List what is told wrongly of squares of one's own size.

    Parameters
    ----------
    top : Top
        The quilt top.
    own : sequence of OwnSquare
        What is to be judged.
    """
    faults = []
    for entry in own:
        loss = (exact_square(top, entry.kind) - float(entry.cut)) / 2
        # A block larger by d moves the edge by d / sqrt 2 of its own diagonal's half.
        largest = float(top.layout.setting.block_size) - (
            loss * sqrt(2) if entry.kind == "side" else loss * 2 * sqrt(2)
        )
        whole = largest + 2 * float(top.seam)
        below = whole - float(entry.largest_unfinished)
        marks = entry.largest_unfinished.value * 16
        if abs(entry.loss - loss) > _NEAR:
            faults.append(fault(FaultKind.POINT_LOSS, said=entry.loss, wanted=loss))
        if abs(entry.largest_block - largest) > _NEAR:
            faults.append(fault(FaultKind.POINT_LOSS, said=entry.largest_block, wanted=largest))
        if marks.denominator != 1 or not -_NEAR < below < _SIXTEENTH - _NEAR:
            faults.append(
                fault(FaultKind.POINT_LOSS, said=float(entry.largest_unfinished), wanted=whole)
            )
    return tuple(faults)


def judge_sashing(top: Top, told: Sashing | None) -> tuple[Fault, ...]:
    """List the counts and sizes of sashing that differ from what lies in the top.

    Parameters
    ----------
    top : Top
        The quilt top.
    told : Sashing or None
        What is to be judged.
    """
    setting, q = top.layout.setting, float(top.seam)
    if (told is None) != (not setting.sashing.value):
        return (fault(FaultKind.SASHING, said=int(told is not None), found=int(told is None)),)
    return tuple(_sashing(top, told, q)) if told else ()


def _sashing(top: Top, told: Sashing, q: float) -> Iterator[Fault]:
    setting = top.layout.setting
    wide, side = float(setting.sashing), float(setting.block_size)
    lie = _bare(top)
    strip = round(min(wide, side), 7), round(max(wide, side), 7)
    strips = lie[top.sashing, ("whole", *strip)]
    stones = lie[top.cornerstones, ("whole", round(wide, 7), round(wide, 7))]
    halves = lie[top.cornerstones, ("long", round(wide * sqrt(2), 7), 0.0)]
    numbers = [
        (told.strips, strips), (told.cornerstones, stones), (told.half_cornerstones, halves),
        (float(told.cut[0]), side + 2 * q), (float(told.cut[1]), wide + 2 * q),
    ]  # fmt: skip
    long = wide * sqrt(2)
    square = long * (1 + 2 * q / (long * (sqrt(2) - 1)))
    if halves and not -_NEAR < float(told.half_square) - square < float(top.step) - _NEAR:
        numbers.append((float(told.half_square), square))
    ends = q * (1 + sqrt(2)) if setting.kind == "on point" else q
    needed = [] if setting.cornerstones else [reach + 2 * ends for reach in long_lengths(setting)]
    given = [float(length) for length, count in told.long for _ in range(count)]
    if len(needed) != len(given):
        numbers.append((len(given), len(needed)))
    for said, reach in zip(sorted(given), sorted(needed), strict=False):
        if not -_NEAR < said - reach < float(top.step) - _NEAR:
            numbers.append((said, reach))
    for length, _ in told.long:
        if length.value % top.step.value:
            numbers.append((float(length), 0.0))
    for said, found in numbers:
        if abs(said - found) > _NEAR:
            yield fault(FaultKind.SASHING, said=said, found=found)
