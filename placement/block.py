r"""A block as a grid of patches with roles.

Words used here
---------------
role : 'F' feature, 'S' second feature, 'B' background.
patch : a rectangle of the grid (one cell, or several merged) and how it is cut.
shape : whole; halved on a diagonal ('/' runs from bottom left to top right,
    '\' from top left to bottom right); quartered by both diagonals ('x'); a flying
    goose, one large triangle that points 'v', '^', '<' or '>' and two small ones.

A block's data file is a small JSON object: name, columns, rows (relative
sizes) and patches, one text a row of the grid. A patch is written 'F' (whole),
'F/B' or 'F\B' (halved, left part first), 'xFBSB' (quartered: top, right,
bottom, left), 'vBF' (a goose that points down: large part, then the small ones),
'<' (merged with the cell on its left) or '^' (with the one above).
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from importlib import resources
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

ROLES = "FSB"
GEESE = ("v", "<", "^", ">")
"""Where a flying goose points, by the side its base lies on: top, right, bottom, left."""

Point = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class Patch:
    """One rectangle of the block and how it is cut.

    Lengths are parts of the block's side, from its top left corner.
    """

    left: Fraction
    """Distance from the block's left edge, 0 to 1."""
    top: Fraction
    """Distance from the block's top edge, 0 to 1."""
    width: Fraction
    """Finished width, a part of the block's side."""
    height: Fraction
    """Finished height, a part of the block's side."""
    cut: str
    """How it is cut: '' whole, '/' or '\\' halved, 'x' quartered, 'v^<>' a goose."""
    roles: str
    """One role letter a part: one; two, left part first; four, top, right, bottom, left;
    three for a goose, the large one first."""

    def parts(self) -> tuple[tuple[str, tuple[Point, ...]], ...]:
        """Return each part as its role and its corners, clockwise from the top left."""
        left, top = self.left, self.top
        right, bottom = left + self.width, top + self.height
        a, b, c, d = (left, top), (right, top), (right, bottom), (left, bottom)
        centre = ((left + right) / 2, (top + bottom) / 2)
        shapes: dict[str, tuple[tuple[Point, ...], ...]] = {
            "": ((a, b, c, d),),
            "/": ((a, b, d), (b, c, d)),
            "\\": ((a, c, d), (a, b, c)),
            "x": ((a, b, centre), (b, c, centre), (c, d, centre), (d, a, centre)),
        }
        if self.cut in GEESE:
            # The corners from the goose's base on, clockwise, and the point it shows.
            turn = GEESE.index(self.cut)
            first, second, third, fourth = (a, b, c, d)[turn:] + (a, b, c, d)[:turn]
            tip = (third[0] + fourth[0]) / 2, (third[1] + fourth[1]) / 2
            shapes[self.cut] = ((first, second, tip), (second, third, tip), (fourth, first, tip))
        return tuple(zip(self.roles, shapes[self.cut], strict=True))


@dataclass(frozen=True, slots=True)
class Block:
    """A traditional block, sized as parts of its finished side."""

    name: str
    """What quilters call it."""
    patches: tuple[Patch, ...]
    """Every patch, row by row."""

    def has(self, role: str) -> bool:
        """Whether any part is of a role."""
        return any(role in patch.roles for patch in self.patches)

    def same_when_turned(self) -> tuple[int, ...]:
        """Return the turns in degrees (of 90, 180, 270) that leave the block's look unchanged."""
        looks = _look(self)
        return tuple(
            degrees
            for degrees in (90, 180, 270)
            if frozenset((role, _turn(points, degrees)) for role, points in looks) == looks
        )


def _look(block: Block) -> frozenset[tuple[str, frozenset[Point]]]:
    return frozenset(
        (role, frozenset(points)) for patch in block.patches for role, points in patch.parts()
    )


def _turn(points: frozenset[Point], degrees: int) -> frozenset[Point]:
    turned = points
    for _ in range(degrees // 90):
        turned = frozenset((1 - y, x) for x, y in turned)
    return turned


def parse_block(data: dict[str, object]) -> Block:
    """Read a block from the object of its data file.

    Raises
    ------
    ValueError
        With every fault of the file, one a line.
    """
    faults: list[str] = []
    columns = _sizes(data.get("columns"), "columns", faults)
    rows = _sizes(data.get("rows"), "rows", faults)
    name = str(data.get("name") or "")
    if not name:
        faults.append("the block needs a name")
    cells = _cells(data.get("patches"), len(columns), len(rows), faults)
    if not faults:
        patches = _patches(cells, columns, rows, faults)
    if faults:
        raise ValueError("\n".join(faults))
    return Block(name, patches)


def _sizes(given: object, label: str, faults: list[str]) -> list[Fraction]:
    if not isinstance(given, list) or not given:
        faults.append(f"{label} must be a list of sizes such as [1, 1, 1], not {given!r}")
        return []
    sizes = []
    for value in given:
        try:
            size = Fraction(str(value))
        except (ValueError, ZeroDivisionError):
            size = Fraction(0)
        if size <= 0:
            faults.append(f"{label} must be sizes above zero; {value!r} is not")
        sizes.append(size)
    return sizes


def _cells(given: object, width: int, height: int, faults: list[str]) -> list[list[str]]:
    if not isinstance(given, list) or len(given) != height:
        faults.append(f"patches must be {height} rows of {width} patches, not {given!r}")
        return []
    cells = [str(row).split() for row in given]
    for number, row in enumerate(cells, 1):
        if len(row) != width:
            faults.append(f"row {number} must have {width} patches, not {len(row)}")
    return cells


def _owner(cells: list[list[str]], row: int, column: int) -> tuple[int, int]:
    """Follow the merge marks to the cell that names the patch; may leave the grid."""
    while row >= 0 and column >= 0 and cells[row][column] in "<^":
        row, column = (row, column - 1) if cells[row][column] == "<" else (row - 1, column)
    return row, column


def _patches(
    cells: list[list[str]], columns: list[Fraction], rows: list[Fraction], faults: list[str]
) -> tuple[Patch, ...]:
    members: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for row in range(len(rows)):
        for column in range(len(columns)):
            members.setdefault(_owner(cells, row, column), []).append((row, column))
    xs, ys = _edges(columns), _edges(rows)
    patches = []
    for (row, column), group in members.items():
        where = f"row {row + 1}, patch {column + 1}"
        if row < 0 or column < 0:
            faults.append(f"a merge mark at row {group[0][0] + 1} has nothing to merge with")
            continue
        low, right = max(r for r, _ in group), max(c for _, c in group)
        if len(group) != (low - row + 1) * (right - column + 1):
            faults.append(f"{where}: merged cells must make a rectangle")
        cut, roles = _shape(cells[row][column])
        if not roles:
            faults.append(f"{where}: {cells[row][column]!r} is not a patch")
            continue
        left, top = xs[column], ys[row]
        patches.append(Patch(left, top, xs[right + 1] - left, ys[low + 1] - top, cut, roles))
    return tuple(patches)


def check_cuttable(block: Block) -> None:
    """Refuse a block with triangles that can't be cut: closed forms are those of right angles.

    Raises
    ------
    ValueError
        With every reason, one a line.
    """
    faults = dict.fromkeys(fault for patch in block.patches for fault in _out_of_shape(patch))
    if faults:
        raise ValueError("\n".join(f"{block.name} can't be cut: {fault}" for fault in faults))


def _out_of_shape(patch: Patch) -> Iterator[str]:
    long, short = max(patch.width, patch.height), min(patch.width, patch.height)
    if patch.cut == "x" and long != short:
        yield "a quartered patch must be a square"
    base = patch.width if patch.cut in "v^" else patch.height
    if patch.cut in GEESE and (base != long or long != 2 * short):
        yield "a flying goose must be twice as long at its base as it is high"


def _edges(sizes: list[Fraction]) -> list[Fraction]:
    total = sum(sizes)
    return [sum(sizes[:index], Fraction(0)) / total for index in range(len(sizes) + 1)]


def _shape(text: str) -> tuple[str, str]:
    """Split a patch's text into its cut and its roles; no roles if it is not a patch."""
    if text[0] in ("x", *GEESE):
        cut, roles = text[0], text[1:]
        # A goose's two small triangles are alike.
        roles = roles + roles[-1:] if cut in GEESE else roles
    else:
        cut = next((mark for mark in "/\\" if mark in text), "")
        roles = text.replace(cut, "") if cut else text
    wanted = {"": 1, "/": 2, "\\": 2, "x": 4}.get(cut, 3)
    return (cut, roles) if len(roles) == wanted and set(roles) <= set(ROLES) else (cut, "")


def block_names() -> tuple[str, ...]:
    """Return the short names of the blocks that come with the program, sorted."""
    folder = resources.files("placement") / "blocks"
    return tuple(sorted(f.name.removesuffix(".json") for f in folder.iterdir()))


@lru_cache(maxsize=64)
def load_block(name: str) -> Block:
    """Return the block of that short name.

    Raises
    ------
    ValueError
        If there is none, with the names there are.
    """
    names = block_names()
    if name not in names:
        raise ValueError(f"there is no block {name!r}; choose one of {', '.join(names)}")
    file = resources.files("placement") / "blocks" / f"{name}.json"
    return parse_block(json.loads(file.read_text(encoding="utf-8")))
