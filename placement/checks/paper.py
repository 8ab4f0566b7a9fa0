"""Units sewn on paper: pieces laid face to face, sewn, cut and opened, as shapes on a table.

A piece is a convex shape with corners as complex numbers (inches, y upward) and the way its
cloth lies: a turn, and whether it is face down. Sewing beside a line, cutting along it and
opening what was cut keeps of each layer what lies on its side of the stitches, and mirrors
the upper layer over them. Sizes to cut are taken as given; whether a unit of its trimmed
size can be cut of the result is looked at, and which way every print ends.

Words used here
---------------
source : a piece as it was cut; its parts share the turn that it was laid with.
lie : how a unit lies in the block, as the block's patch is written.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import sqrt
from typing import TYPE_CHECKING

from placement.block import Patch

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

_NEAR = 1e-6
_SLACK = 1e-7
"""Inches by which a corner may lie beside its seam: binary noise, no more."""
_LOST = 1e-5
"""Square inches of a unit that may be missing: binary noise, no more."""
_SAME = 1e-9
_HALF = sqrt(0.5)
_EIGHTHS = tuple(
    complex(x, y) for x, y in (
        (1, 0), (_HALF, _HALF), (0, 1), (-_HALF, _HALF),
        (-1, 0), (-_HALF, -_HALF), (0, -1), (_HALF, -_HALF),
    )
)  # fmt: skip
"""Turns by 45 degrees."""
_QUARTERS = _EIGHTHS[::2]

Corners = tuple[complex, ...]
Line = tuple[complex, complex]
"""Two points that a line runs through, from the first to the second."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """One layer of cloth."""

    role: str
    """The cloth's role."""
    source: int
    """Which piece it is of."""
    corners: Corners
    """Its corners, counterclockwise."""
    turn: complex = 1
    """What its cloth's directions are multiplied by, after mirroring where it is face down."""
    down: bool = False
    """Whether it lies face down."""
    square: bool = True
    """Whether the piece may be laid a quarter round: a longer one may not."""

    def way(self, laid: complex) -> complex:
        """Return which way the print's up points, if the piece was laid with it so."""
        return self.turn * (laid.conjugate() if self.down else laid)


Work = tuple[Sheet, ...]
"""Pieces that hang together."""


def area(corners: Corners) -> float:
    """Return the area of a shape, square inches."""
    pairs = zip(corners, corners[1:] + corners[:1], strict=True)
    return sum((one.conjugate() * two).imag for one, two in pairs) / 2


def _side(line: Line, point: complex) -> float:
    """Return how far a point lies to the left of a line."""
    start, end = line
    return ((end - start).conjugate() * (point - start)).imag / abs(end - start)


def _left(line: Line, corners: Corners) -> Corners:
    """Return what of a shape lies to the left of a line."""
    found: list[complex] = []
    for one, two in zip(corners, corners[1:] + corners[:1], strict=True):
        a, b = _side(line, one), _side(line, two)
        if a >= 0:
            found.append(one)
        if (a > 0 > b) or (a < 0 < b):
            found.append(one + (two - one) * a / (a - b))
    # Corners that fall together are one.
    return tuple(c for at, c in enumerate(found) if abs(c - found[at - 1]) > _SAME)


def _moved(line: Line, by: float) -> Line:
    """Return a line moved to its left."""
    start, end = line
    step = 1j * (end - start) / abs(end - start) * by
    return start + step, end + step


def _keep(work: Iterable[Sheet], line: Line) -> Work:
    """Return what of some pieces lies to the left of a line."""
    kept = (replace(sheet, corners=_left(line, sheet.corners)) for sheet in work)
    return tuple(s for s in kept if len(s.corners) > 2 and area(s.corners) > _NEAR)


def _mirrored(sheet: Sheet, line: Line) -> Sheet:
    """Return a piece turned over along a line."""
    start, end = line
    way = (end - start) / abs(end - start)
    corners = tuple(start + way * way * (c - start).conjugate() for c in reversed(sheet.corners))
    turn = way * way * sheet.turn.conjugate()
    return replace(sheet, corners=corners, turn=turn, down=not sheet.down)


def _over(work: Iterable[Sheet], line: Line) -> Work:
    return tuple(_mirrored(sheet, line) for sheet in work)


def sewn(under: Work, over: Work, seam: Line) -> Work:
    """Sew two layers along a line, cut away what lies to its right, and open them."""
    return _keep(under, seam) + _over(_keep(over, seam), seam)


def both_sides(under: Work, over: Work, line: Line, q: float) -> tuple[Work, Work]:
    """Sew on both sides of a drawn line, cut along it, open both halves."""
    back = line[1], line[0]
    return sewn(under, over, _moved(line, q)), sewn(under, over, _moved(back, q))


def box(role: str, source: int, wide: float, high: float, at: complex = 0) -> Sheet:
    """Lay a rectangle on the table, its lower left corner at a point."""
    corners = at, at + wide, at + wide + 1j * high, at + 1j * high
    return Sheet(role, source, corners, square=abs(wide - high) < _NEAR)


def face_down(sheet: Sheet) -> Sheet:
    """Turn a piece over in its place, its left to its right."""
    middle = sum(corner.real for corner in sheet.corners) / len(sheet.corners)
    return _mirrored(sheet, (complex(middle, 0), complex(middle, 1)))


def halves(roles: str, side: float, q: float, *, rising: bool = True) -> list[Work]:
    """Two at a time: a line from corner to corner, sewn on both sides."""
    under, over = box(roles[0], 0, side, side), face_down(box(roles[1], 1, side, side))
    line = (0j, complex(side, side)) if rising else (complex(0, side), complex(side, 0))
    return list(both_sides((under,), (over,), line, q))


def halves_round(roles: str, side: float, q: float) -> list[Work]:
    """Four at a time: sewn all round, cut on both diagonals."""
    under, over = box(roles[0], 0, side, side), face_down(box(roles[1], 1, side, side))
    middle = complex(side, side) / 2
    found: list[Work] = []
    for start, end in zip(under.corners, under.corners[1:] + under.corners[:1], strict=True):
        layers = [_keep(_keep((s,), (end, middle)), (middle, start)) for s in (under, over)]
        found.append(sewn(layers[0], layers[1], _moved((start, end), q)))
    return found


def halves_eight(roles: str, side: float, q: float) -> list[Work]:
    """Eight at a time: both diagonals sewn on both sides, cut through the middle first."""
    whole = box(roles[0], 0, side, side), face_down(box(roles[1], 1, side, side))
    half = side / 2
    found: list[Work] = []
    for x, y in ((0.0, 0.0), (half, 0.0), (half, half), (0.0, half)):
        corner = complex(x, y)
        low, high = corner, corner + complex(half, half)
        under, over = (_keep(_keep(_keep(_keep((sheet,), (low, low + 1)), (low + 1j, low)),
                       (high, high - 1)), (high - 1j, high)) for sheet in whole)  # fmt: skip
        rising = (x == 0.0) == (y == 0.0)
        line = (low, high) if rising else (corner + 1j * half, corner + half)
        found += both_sides(under, over, line, q)
    return found


def halves_from_strips(
    roles: str, reach: float, high: float, q: float, *, rising: bool = True
) -> list[Work]:
    """Two units of two layers of strip: an end is square, then a cut at 45 degrees, and so on."""
    wide = 2 * reach - high
    under, over = box(roles[0], 0, wide, high), face_down(box(roles[1], 1, wide, high))
    if rising:
        line = complex(reach - high, 0), complex(reach, high)
    else:
        line = complex(reach - high, high), complex(reach, 0)
    return list(both_sides((under,), (over,), line, q))


def geese_four(roles: str, large: float, small: float, q: float) -> list[Work]:
    """Four geese: two small squares on opposite corners, then one on each free corner."""
    whole, far = (box(roles[0], 0, large, large),), large - small
    first = tuple(
        face_down(box(roles[1], source, small, small, at))
        for source, at in ((1, complex(0, far)), (2, complex(far, 0)))
    )
    drawn = complex(0, large), complex(large, 0)
    upper, lower = both_sides(whole, first, drawn, q)
    found: list[Work] = []
    for half, at, source, line in (
        (upper, complex(far, far), 3, (complex(large, large), 0j)),
        (lower, 0j, 4, (0j, complex(large, large))),
    ):
        third = face_down(box(roles[1], source, small, small, at))
        found += both_sides(half, (third,), line, q)
    return found


def goose_of_corners(roles: str, sizes: Sequence[float], cut: str) -> list[Work]:
    """One goose: a square sewn along its diagonal on each end of the rectangle's far side.

    ``sizes`` are the rectangle's long and short side and the squares' side.
    """
    wide, high, square = sizes
    turn = {"^": 1, "<": 1j, "v": -1, ">": -1j}[cut]
    work: Work = (box(roles[0], 0, wide, high),)
    for source, at, seam in (
        (1, complex(0, high - square), (complex(0, high - square), complex(square, high))),
        (2, complex(wide - square, high - square),
         (complex(wide - square, high), complex(wide, high - square))),
    ):  # fmt: skip
        piece = face_down(box(roles[1], source, square, square, at))
        back = seam[1], seam[0]
        work = sewn(work, (piece,), back)
    turned = [replace(s, corners=tuple(turn * c for c in s.corners), turn=turn * s.turn)
              for s in work]  # fmt: skip
    # An upended rectangle was cut upended: its print lies upright where it lies in the block.
    return [tuple(replace(s, turn=s.turn / turn) if s.source == 0 else s for s in turned)]


def quarters_cut_twice(roles: str, side: float, q: float) -> list[Work]:
    """One unit of four triangles, each from its side of a square cut on both diagonals."""
    found = []
    for source, (role, way) in enumerate(zip(roles, (1, -1j, -1, 1j), strict=True)):
        # The triangle on the square's upper side, then turned to its own side.
        low, high = complex(-side, side) / 2, complex(side, side) / 2
        kept = _left(_moved((0j, high), q), _left(_moved((low, 0j), q), (0j, high, low)))
        tip = min(kept, key=lambda corner: corner.imag)
        found.append(Sheet(role, source, tuple(way * (corner - tip) for corner in kept)))
    return [tuple(found)]


def quarters_of_halves(roles: str, side: float, q: float) -> list[Work]:
    """Two units of two half squares that lie face to face, a cloth on the other one."""
    one, two, three, _ = tuple(roles)
    pair = halves(one + two, side, q)
    other = pair if one == three else halves(three + two, side, q)
    first, second = _centred(pair[1]), _centred(other[0])
    if one != three:
        second = tuple(replace(sheet, source=sheet.source + 2) for sheet in second)
    # Turned over across their seams, which run from bottom left to top right.
    second = _over(second, (complex(-1, 1), complex(1, -1)))
    return list(both_sides(first, second, (complex(-1, 1), complex(1, -1)), q))


def _centred(work: Work) -> Work:
    """Move a work so that the middle of its square lies at 0."""
    middle = _mid([corner for sheet in work for corner in sheet.corners])
    return tuple(replace(s, corners=tuple(c - middle for c in s.corners)) for s in work)


@dataclass(frozen=True, slots=True)
class Wanted:
    """A unit as it is to be."""

    lies: tuple[Patch, ...]
    """Every way it may lie, as the block's patches; only their cut and roles count."""
    width: float
    """Finished width of the first of them, inches."""
    height: float
    """Its finished height."""
    q: float
    """Seam allowance."""

    def sides(self, patch: Patch) -> tuple[float, float]:
        """Return finished width and height of a unit that lies so: a goose may be upended."""
        if (patch.width < patch.height) != (self.width < self.height):
            return self.height, self.width
        return self.width, self.height


def lie(patch: Patch) -> str:
    """Return how a patch is written: its cut and its roles."""
    return patch.cut + patch.roles


def upright(works: Sequence[Work], wanted: Wanted, one_way: frozenset[str]) -> list[frozenset[str]]:
    """Return for every work how the unit that is trimmed from it may lie in the block.

    Pieces of a one-way print are laid as keeps most of their parts upright; those of the
    roles named must be, whichever way the unit is turned.
    """
    sheets = [sheet for work in works for sheet in work]
    laid = {source: _laid([s for s in sheets if s.source == source])
            for source in {sheet.source for sheet in sheets}}  # fmt: skip
    return [frozenset(_lies(work, wanted, one_way, laid)) for work in works]


def _laid(sheets: Sequence[Sheet]) -> complex:
    """Return the turn to lay a piece with that keeps most of its parts upright."""
    turns = _QUARTERS if all(sheet.square for sheet in sheets) else _QUARTERS[::2]
    return max(turns, key=lambda up: sum(abs(s.way(1j * up) - 1j) < _NEAR for s in sheets))


def _lies(
    work: Work, wanted: Wanted, one_way: frozenset[str], laid: dict[int, complex]
) -> Iterator[str]:
    for turn in _EIGHTHS:
        ups = (turn * s.way(1j * laid[s.source]) for s in work if s.role in one_way)
        if any(abs(up - 1j) > _NEAR for up in ups):
            continue
        turned = tuple(replace(s, corners=tuple(turn * c for c in s.corners)) for s in work)
        yield from (lie(patch) for patch in wanted.lies if _holds(turned, patch, wanted))


def _holds(work: Work, patch: Patch, wanted: Wanted) -> bool:
    """Whether a unit with its seam allowance can be cut of a work, seams where they must be."""
    wide, high = wanted.sides(patch)
    parts = [
        (role, [complex(float((x - patch.left) / patch.width) * wide - wide / 2,
                        high / 2 - float((y - patch.top) / patch.height) * high)
                for x, y in corners])
        for role, corners in patch.parts()
    ]  # fmt: skip
    total = sum(area(s.corners) for s in work)
    at = sum(_middle(s.corners) * area(s.corners) for s in work) / total
    far = wide + high
    room = tuple(at + far * way for way in (-1 - 1j, 1 - 1j, 1 + 1j, -1 + 1j))
    for role, corners in parts:
        middle = sum(corners) / len(corners) + at
        mine = [s for s in work if s.role == role]
        if not mine:
            return False
        sheet = min(mine, key=lambda s: abs(_middle(s.corners) - middle))
        room = _room(sheet.corners, corners, room)
        if len(room) < 3:
            return False
    by, q = _mid(room), wanted.q
    trimmed = (complex(-wide / 2 - q, -high / 2 - q), complex(wide / 2 + q, -high / 2 - q),
           complex(wide / 2 + q, high / 2 + q), complex(-wide / 2 - q, high / 2 + q))  # fmt: skip
    covered = sum(area(_common(s.corners, tuple(c + by for c in trimmed))) for s in work)
    return covered > area(trimmed) - _LOST


def _room(shape: Corners, corners: Sequence[complex], room: Corners) -> Corners:
    """Return the moves, of those in ``room``, that bring all corners into a shape."""
    for start, end in zip(shape, shape[1:] + shape[:1], strict=True):
        for corner in corners:
            room = _left(_moved((start - corner, end - corner), -_SLACK), room)
            if len(room) < 3:
                return ()
    return room


def _common(one: Corners, two: Corners) -> Corners:
    for start, end in zip(two, two[1:] + two[:1], strict=True):
        one = _left((start, end), one)
    return one


def _mid(corners: Sequence[complex]) -> complex:
    """Return the middle between the outermost corners."""
    xs, ys = [c.real for c in corners], [c.imag for c in corners]
    return complex(min(xs) + max(xs), min(ys) + max(ys)) / 2


def _middle(corners: Corners) -> complex:
    return sum(corners) / len(corners)
