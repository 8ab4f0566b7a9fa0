"""The judge of what is told of methods before one is chosen: everything is counted again.

That the cuts of each are sound is judged as those of any plan; here are the numbers beside them.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from placement.block import GEESE, Block
from placement.checks.fault import Fault, FaultKind, fault
from placement.checks.goes import METHODS
from placement.cloth.cutting import Piece, PieceKind

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

_NEAR = 1e-9
_KINDS = {
    PieceKind.HALF_SQUARE: "half", PieceKind.HALF_SQUARE_STRIP: "half",
    PieceKind.QUARTER_SQUARE: "quarter",
    PieceKind.LARGE_GOOSE: "goose", PieceKind.SMALL_GOOSE: "goose",
}  # fmt: skip
"""What pieces are cut for."""


@dataclass(frozen=True, slots=True)
class Told:
    """What is told of one method."""

    unit: str
    """The kind of unit: 'half', 'goose' or 'quarter'."""
    method: str
    """The method."""
    units: int
    """Units that the blocks take."""
    made: int
    """Units that come of what is cut."""
    pieces: int
    """Pieces that are cut for them."""
    shown: float
    """Share of their cloth that shows in the quilt."""
    cut: tuple[Piece, ...]
    """Everything that is cut."""


def judge_methods(
    block: Block, side: float, blocks: int, told: Sequence[Told]
) -> tuple[Fault, ...]:
    """List what is wrong with what is told of methods.

    Parameters
    ----------
    block : Block
        The block.
    side : float
        Its finished side, inches.
    blocks : int
        How many there are.
    told : sequence of Told
        What is told of every method.
    """
    return tuple(_faults(block, side, blocks, told))


def _faults(block: Block, side: float, blocks: int, told: Sequence[Told]) -> Iterator[Fault]:
    count, shown = Counter[str](), Counter[str]()
    area: dict[str, float] = {}
    for patch in block.patches:
        kind = _kind(patch.cut, square=patch.width == patch.height)
        count[kind] += blocks
        area[kind] = area.get(kind, 0.0) + blocks * side * side * float(patch.width * patch.height)
    wanted = {(kind, method) for kind, ways in METHODS.items() if count[kind] for method in ways}
    if len(told) != len(wanted) or {(each.unit, each.method) for each in told} != wanted:
        yield fault(FaultKind.METHODS_TOLD, said=len(told), found=len(wanted))
        return
    for each in told:
        mine = [piece for piece in each.cut if _KINDS.get(piece.kind) == each.unit]
        shown[each.unit] = sum(piece.count for piece in mine)
        cut = sum(piece.count * float(piece.width) * float(piece.height) for piece in mine)
        for said, found in (
            (each.units, count[each.unit]),
            (each.pieces, shown[each.unit]),
            (each.shown, area[each.unit] / cut if cut else 0.0),
        ):
            if abs(said - found) > _NEAR:
                yield _wrong(each, said, found)
        if each.made < each.units or each.shown > 1:
            yield _wrong(each, each.made, each.units)


def _wrong(each: Told, said: float, found: float) -> Fault:
    return fault(FaultKind.METHOD_TOLD, unit=each.unit, method=each.method, said=said, found=found)


def _kind(cut: str, *, square: bool) -> str:
    if cut in GEESE:
        return "goose"
    if cut == "x":
        return "quarter"
    return "half" if cut and square else ""
