"""On-point and straight settings: cells, who touches whom, how many, how large.

A cell's row and column count half diagonals on point (row + column is then
even) and blocks in a straight setting, from 0 at the top left. Distances are
scaled so that cells sharing an edge are 1 apart and cells sharing only a point
are the square root of 2 apart.

Sashing frames every block, so it runs round the outside too. A straight setting
ends in whole strips and cornerstones (the trade's count of 49 strips and 30
cornerstones for 4 x 5 blocks). On point the quilt's edge runs through the
middle of the outermost cornerstones, which are halved; what is left between
the strips there is half a block, so setting triangles keep the size they have
without sashing.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import sqrt
from typing import TYPE_CHECKING, Literal, NamedTuple

from placement.inches import Inches

if TYPE_CHECKING:
    import networkx as nx

Kind = Literal["on point", "straight"]

NONE = Inches(Fraction(0))

MOST_CELLS = 10_000
"""More cells than any quilt has; a guard against a slip of the keyboard."""


class Cell(NamedTuple):
    """Where a block lies: row and column from the top left (see the module)."""

    row: int
    column: int

    def __str__(self) -> str:
        return f"row {self.row + 1}, place {self.column + 1}"


@dataclass(frozen=True, slots=True)
class Setting:
    """How blocks are put together.

    On point, across x down blocks stand in the main rows and (across - 1) x
    (down - 1) between them. With plain alternate blocks only every other block
    is pieced; the others are plain background.

    Raises
    ------
    ValueError
        Naming the number, if across or down is below 1, the setting has more
        than 10,000 blocks, the block has no size, or the sashing is not
        narrower than the block.
    """

    kind: Kind
    """'on point' or 'straight'."""
    across: int
    """Blocks across (in a main row, on point)."""
    down: int
    """Blocks down (in a main column, on point)."""
    block_size: Inches
    """Finished side of a block."""
    alternate: bool = False
    """Whether every other block is a plain one of background."""
    sashing: Inches = NONE
    """Finished width of the strips that frame every block; 0 for none."""
    cornerstones: bool = False
    """Whether a square lies where strips meet; without sashing it means nothing."""

    def __post_init__(self) -> None:
        if self.kind not in ("on point", "straight"):
            raise ValueError(f"a setting is 'on point' or 'straight', not {self.kind!r}")
        for name, count in (("across", self.across), ("down", self.down)):
            if count < 1:
                raise ValueError(f"blocks {name} must be 1 or more, not {count}")
        if self.across * self.down > MOST_CELLS or self.block_count > MOST_CELLS:
            raise ValueError(
                f"{self.across} x {self.down} makes more than {MOST_CELLS} blocks; ask for fewer"
            )
        if self.block_size.value <= 0:
            raise ValueError("a block needs a finished size above 0 inches")
        if self.sashing >= self.block_size:
            raise ValueError(
                f"sashing of {self.sashing} in is not narrower than a block of {self.block_size} "
                "in; make it narrower"
            )

    @property
    def pitch(self) -> Inches:
        """From the middle of a block to that of the next in its row: block and sashing."""
        return Inches(self.block_size.value + self.sashing.value)

    @property
    def block_count(self) -> int:
        """All blocks, plain ones included: ab + (a-1)(b-1) on point, ab straight."""
        between = (self.across - 1) * (self.down - 1) if self.kind == "on point" else 0
        return self.across * self.down + between

    @property
    def side_triangles(self) -> int:
        """Side setting triangles: 2(a + b - 2) on point."""
        return 2 * (self.across + self.down - 2) if self.kind == "on point" else 0

    @property
    def corner_triangles(self) -> int:
        """Corner setting triangles: four on point."""
        return 4 if self.kind == "on point" else 0

    @property
    def width(self) -> float:
        """Finished width of the centre without borders, in inches."""
        return self._reach(self.across)

    @property
    def height(self) -> float:
        """Finished height of the centre without borders, in inches."""
        return self._reach(self.down)

    def _reach(self, blocks: int) -> float:
        """Return the length of a row: a(F + s) sqrt 2 on point, a(F + s) + s straight."""
        pitch = float(self.pitch)
        if self.kind == "on point":
            return blocks * pitch * sqrt(2)
        return blocks * pitch + float(self.sashing)

    def cells(self) -> tuple[Cell, ...]:
        """Return the cells that take a fabric, row by row."""
        pieced, _ = _split(self.kind, self.across, self.down, self.alternate)
        return pieced

    def plain_cells(self) -> tuple[Cell, ...]:
        """Return the cells of plain alternate blocks, row by row."""
        _, plain = _split(self.kind, self.across, self.down, self.alternate)
        return plain

    def centre(self, cell: Cell) -> tuple[float, float]:
        """Return the middle of a cell in inches from the top left of the centre: x, y."""
        pitch, frame = float(self.pitch), float(self.sashing) / 2
        if self.kind == "on point":
            half = pitch / sqrt(2)
            return (cell.column + 1) * half, (cell.row + 1) * half
        return (cell.column + 0.5) * pitch + frame, (cell.row + 0.5) * pitch + frame

    def graph(self) -> nx.Graph[int]:
        """Return who touches whom: nodes are indices into cells().

        Each node carries its cell; each edge carries touch ('edge' or 'point')
        and apart (1.0 or the square root of 2). The graph is shared: do not
        change it.
        """
        return _graph(self.kind, self.across, self.down, self.alternate)

    def distance(self, first: Cell, second: Cell) -> float:
        """Return the distance between two cells, in block sides."""
        scale = sqrt(0.5) if self.kind == "on point" else 1.0
        return scale * sqrt((first.row - second.row) ** 2 + (first.column - second.column) ** 2)


@lru_cache(maxsize=64)
def _split(
    kind: Kind, across: int, down: int, alternate: bool
) -> tuple[tuple[Cell, ...], tuple[Cell, ...]]:
    """Split all cells into those that take a fabric and plain ones."""
    if kind == "on point":
        every = [
            Cell(row, column)
            for row in range(2 * down - 1)
            for column in range(row % 2, 2 * across - 1, 2)
        ]
        plain = [cell for cell in every if alternate and cell.row % 2]
    else:
        every = [Cell(row, column) for row in range(down) for column in range(across)]
        plain = [cell for cell in every if alternate and (cell.row + cell.column) % 2]
    gone = set(plain)
    return tuple(cell for cell in every if cell not in gone), tuple(plain)


@lru_cache(maxsize=64)
def _graph(kind: Kind, across: int, down: int, alternate: bool) -> nx.Graph[int]:
    # Loaded with the first graph: the server starts without it.
    import networkx as nx

    cells, _ = _split(kind, across, down, alternate)
    index = {cell: number for number, cell in enumerate(cells)}
    if kind == "on point":
        shared = {"edge": [(1, -1), (1, 1)], "point": [(0, 2), (2, 0)]}
    else:
        shared = {"edge": [(0, 1), (1, 0)], "point": [(1, 1), (1, -1)]}
    graph: nx.Graph[int] = nx.Graph()
    for number, cell in enumerate(cells):
        graph.add_node(number, cell=cell)
    for touch, steps in shared.items():
        apart = 1.0 if touch == "edge" else sqrt(2)
        for cell in cells:
            for row, column in steps:
                other = index.get(Cell(cell.row + row, cell.column + column))
                if other is not None:
                    graph.add_edge(index[cell], other, touch=touch, apart=apart)
    return graph
