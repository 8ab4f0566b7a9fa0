"""The judge of how triangle units are made: each is sewn on paper from the sizes told.

Counts follow from the blocks' patches, whether a unit comes out in its size and with every
print upright from ``placement.checks.paper``. It shares no code with what chooses a method.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from placement.block import GEESE, Patch
from placement.checks.fault import Fact, Fault, FaultKind, fault
from placement.checks.goes import METHODS, Goes, Works, go, serves
from placement.checks.paper import Wanted, lie
from placement.cloth.cutting import PieceKind, Then

if TYPE_CHECKING:
    from placement.checks.pieces import Top
    from placement.cloth.cutting import Piece
    from placement.cloth.methods import Making
    from placement.cloth.pieces import Note

_Key = tuple[str, PieceKind, float, float, Then]

_KINDS = (
    PieceKind.HALF_SQUARE, PieceKind.HALF_SQUARE_STRIP, PieceKind.QUARTER_SQUARE,
    PieceKind.LARGE_GOOSE, PieceKind.SMALL_GOOSE,
)  # fmt: skip
"""What pieces of the units that are sewn on paper become."""


@dataclass(frozen=True, slots=True)
class _Need:
    """Units of one kind for the blocks of one fabric."""

    kind: str
    """'half', 'goose' or 'quarter'."""
    roles: str
    """Roles of the parts."""
    wanted: Wanted
    """The unit."""
    lies: Counter[str]
    """How many lie in each way."""
    cloths: Mapping[str, str]
    """Fabric of each role."""
    one_way: frozenset[str]
    """Roles whose print has an up."""


def judge_units(
    top: Top, asked: Mapping[str, str], makings: Sequence[Making], pieces: Sequence[Piece],
    notes: Sequence[Note] = (),
) -> tuple[Fault, ...]:  # fmt: skip
    """List what is wrong with how units are made, and with what is cut for it.

    Parameters
    ----------
    top : Top
        What is to be sewn.
    asked : mapping
        How units are asked to be made, by their kind: 'half', 'goose', 'quarter'.
    makings : sequence of Making
        How they are.
    pieces : sequence of Piece
        What is cut.
    notes : sequence of Note
        What is told besides.
    """
    faults: list[Fault] = []
    needs = _needs(top)
    cut: Counter[_Key] = Counter()
    loose: dict[_Key, Counter[str]] = {}
    for (unit, fabric), need in needs.items():
        ways = [
            (making, dict(making.made)[fabric]) for making in makings
            if _of(making) == unit and fabric in dict(making.made)
        ]  # fmt: skip
        if not all(_possible(need, making) for making, _ in ways):
            faults.append(fault(FaultKind.UNIT_METHOD, unit=need.kind, method=asked[need.kind]))
            continue
        faults += _made(top, need, fabric, ways)
        faults += _as_asked(need, fabric, asked, ways, notes)
        for making, units in ways:
            _add_pieces(need, making, units, cut, loose)
    for making in makings:
        unknown = [name for name, _ in making.made if (_of(making), name) not in needs]
        if making.unit.kind != "half rectangle" and (unknown or not making.made):
            faults.append(fault(FaultKind.UNIT_UNKNOWN, unit=str(making.unit.kind)))
    faults += _piece_faults(top, cut, loose, pieces)
    return tuple(faults)


def _possible(need: _Need, making: Making) -> bool:
    """Whether units of a kind can be made so, from as many sizes as are told."""
    return making.then in METHODS[need.kind].values() and len(making.sizes) == (
        2 if need.kind == "goose" else 1
    )


_Unit = tuple[str, float, float, str]


def _of(making: Making) -> _Unit:
    unit = making.unit
    return str(unit.kind), float(unit.width), float(unit.height), unit.roles


def _needs(top: Top) -> dict[tuple[_Unit, str], _Need]:
    """Count units by what the block's patches are, for every fabric of the blocks."""
    side = float(top.layout.setting.block_size)
    fixed = {"B": top.background, "S": top.second}
    laid = Counter(name for name in top.layout.fabrics if name)
    found: dict[_Unit, list[Patch]] = {}
    for patch in top.block.patches:
        if patch.cut and (patch.width == patch.height or patch.cut in GEESE):
            found.setdefault(_unit(patch), []).append(patch)
    needs = {}
    for unit, patches in found.items():
        kind, wide, _, roles = unit
        shared = all(fixed.get(role) for role in roles)
        lies = Counter(map(lie, patches))
        # One patch of every way to lie, the first as wide and high as the unit is told.
        ways = sorted({lie(p): p for p in patches}.values(), key=lambda p: float(p.width) != wide)
        sides = float(ways[0].width) * side, float(ways[0].height) * side
        wanted = Wanted(tuple(ways), *sides, float(top.seam))
        for fabric, blocks in {"": sum(laid.values())}.items() if shared else laid.items():
            cloths = {role: fixed.get(role) or fabric for role in roles}
            one_way = frozenset(r for r, cloth in cloths.items() if cloth in top.one_way)
            many = Counter({way: count * blocks for way, count in lies.items()})
            needs[unit, fabric] = _Need(kind, roles, wanted, many, cloths, one_way)
    return needs


def _unit(patch: Patch) -> _Unit:
    sides = float(patch.width), float(patch.height)
    if patch.cut in GEESE:
        return "goose", max(sides), min(sides), patch.roles[:2]
    if patch.cut == "x":
        turned = min(patch.roles[turn:] + patch.roles[:turn] for turn in range(4))
        return "quarter", *sides, turned
    return "half", *sides, "".join(sorted(patch.roles))


def _made(
    top: Top, need: _Need, fabric: str, ways: Sequence[tuple[Making, int]]
) -> Iterator[Fault]:
    """Sew the units of one fabric and see whether they serve its blocks, and none is idle."""
    goes = []
    for making, units in ways:
        choices = _go(need, making.then, _sizes(making), need.one_way)
        yield from _sized(float(top.step), need, making)
        each = len(choices[0])
        if units % each and making.then is not Then.STRIP_PAIR:
            yield _counted(need, fabric, units, each)
            return
        goes.append(Goes(choices, -(-units // each), units))
    total, wanted = sum(made.units for made in goes), sum(need.lies.values())
    if not serves(need.lies, goes, one_way=bool(need.one_way)):
        turned = fault(FaultKind.UNIT_TURNED, unit=need.kind, fabric=fabric)
        yield _counted(need, fabric, wanted, total) if total < wanted else turned
    elif any(_idle(need, ways, goes)):
        yield _counted(need, fabric, wanted, total)


def _go(
    need: _Need, then: Then, sizes: tuple[float, ...], one_way: frozenset[str]
) -> tuple[Works, ...]:
    return go(need.kind, need.roles, then, sizes, need.wanted, one_way)


def _idle(need: _Need, ways: Sequence[tuple[Making, int]], goes: Sequence[Goes]) -> Iterator[bool]:
    """Yield for every way whether one go less would serve as well."""
    for at, made in enumerate(goes):
        each = len(made.choices[0])
        least = _batch(need, ways[at][0], each)
        units = made.units - least
        fewer = Goes(made.choices, -(-units // each), units)
        yield made.number > 0 and serves(
            need.lies, [*goes[:at], fewer, *goes[at + 1 :]], one_way=bool(need.one_way)
        )


def _batch(need: _Need, making: Making, each: int) -> int:
    """Return the fewest units that can be left out."""
    if making.then is Then.STRIP_PAIR:
        return 2 if need.one_way else 1
    # Of three cloths half squares come in twos, so that two goes are made at once.
    return 4 if making.then is Then.HALVES and len(set(need.roles)) > 2 else each


def _counted(need: _Need, fabric: str, wanted: int, found: int) -> Fault:
    return fault(FaultKind.UNIT_COUNT, unit=need.kind, fabric=fabric, wanted=wanted, found=found)


def _sized(step: float, need: _Need, making: Making) -> Iterator[Fault]:
    """See that units come of the sizes told, and of none that is a step smaller."""
    sizes, (wide, high) = _sizes(making), making.sizes[0]
    facts: dict[str, Fact] = {
        "unit": need.kind,
        "method": str(making.then),
        "width": wide,
        "height": high,
    }
    if not _comes(need, making.then, sizes):
        yield fault(FaultKind.UNIT_SMALL, **facts)
    for at in range(len(sizes)):
        less = (*sizes[:at], sizes[at] - step, *sizes[at + 1 :])
        if _comes(need, making.then, less):
            yield fault(FaultKind.UNIT_LARGE, **facts)


def _comes(need: _Need, then: Then, sizes: tuple[float, ...]) -> bool:
    return all(all(works) for works in _go(need, then, sizes, frozenset()))


def _sizes(making: Making) -> tuple[float, ...]:
    """Return the lengths of a making that may each be too small."""
    flat = [float(side) for size in making.sizes for side in size]
    if making.then in (Then.CORNERS, Then.STRIP_PAIR):
        return tuple(flat[:3])
    return tuple(flat[::2])


def _as_asked(
    need: _Need, fabric: str, asked: Mapping[str, str], ways: Sequence[tuple[Making, int]],
    notes: Sequence[Note],
) -> Iterator[Fault]:  # fmt: skip
    """See that units are made as asked, or that it is told why they are not."""
    then = METHODS[need.kind][asked[need.kind]]
    made = {making.then for making, _ in ways}
    few = sum(need.lies.values()) < {Then.FOUR: 4, Then.EIGHT: 8}.get(then, 1)
    few = (few and need.kind == "half") or (then is Then.STRIP_PAIR and sum(need.lies.values()) < 2)
    told = {name for note in notes if note.unit == need.kind and _stands(need, str(note.reason))
            for name in note.fabrics}  # fmt: skip
    usual = {Then.CORNERS} if need.kind == "goose" else {Then.TWO}
    usual = {Then.CUT_TWICE} if need.kind == "quarter" else usual
    if (fabric in told) != (not few and then not in made) or not made <= {then, *usual}:
        yield fault(FaultKind.UNIT_METHOD, unit=need.kind, method=str(then))


def _stands(need: _Need, reason: str) -> bool:
    """Whether a reason for another method can be one."""
    one, two, three, four = (*_alternating(need.roles * 2),)[:4]
    mirrored = two != four or len({one, two}) < 2 or three == two
    return {
        "one-way print": bool(need.one_way),
        "mirror images": need.kind == "quarter" and mirrored,
        "short strips": need.kind == "half",
    }.get(reason, False)


def _add_pieces(
    need: _Need, making: Making, units: int, cut: Counter[_Key],
    loose: dict[_Key, Counter[str]],
) -> None:  # fmt: skip
    """Add what is cut for units that are made in one way."""
    then: Then = making.then
    first, *others = making.sizes
    wide, high = (float(side) for side in first)
    if then is Then.CUT_TWICE:
        for way, count in need.lies.items():
            for side, role in zip("trbl", way[1:], strict=True):
                key: _Key = (need.cloths[role], PieceKind.QUARTER_SQUARE, wide, high, then)
                up = side if role in need.one_way else ""
                loose.setdefault(key, Counter())[up] += count
    elif need.kind == "goose":
        (small, _), *_ = others
        _add_geese(need, (wide, high, float(small)), units, then, cut)
    elif then is Then.HALVES:
        kind, one, two, three, *_ = PieceKind.QUARTER_SQUARE, *_alternating(need.roles)
        shares = {one: 0.5, two: 0.5} if one == three else {one: 0.25, two: 0.5, three: 0.25}
        for role, share in shares.items():
            cut[need.cloths[role], kind, wide, high, then] += int(units * share)
    elif then is Then.STRIP_PAIR:
        for role in need.roles:
            cut[need.cloths[role], PieceKind.HALF_SQUARE_STRIP, wide, high, then] += units
    else:
        each = {Then.FOUR: 4, Then.EIGHT: 8}.get(then, 2)
        for role in need.roles:
            cut[need.cloths[role], PieceKind.HALF_SQUARE, wide, high, then] += units // each


def _alternating(roles: str) -> str:
    return roles if roles[1] == roles[3] else roles[1:] + roles[:1]


def _add_geese(
    need: _Need, sizes: tuple[float, float, float], units: int, then: Then, cut: Counter[_Key]
) -> None:
    wide, high, small = sizes
    large, little = need.cloths[need.roles[0]], need.cloths[need.roles[1]]
    if then is Then.FOUR:
        cut[large, PieceKind.LARGE_GOOSE, wide, high, then] += units // 4
        cut[little, PieceKind.SMALL_GOOSE, small, small, then] += units
        return
    upended = sum(n for way, n in need.lies.items() if way[0] in "<>")
    upended = upended if need.roles[0] in need.one_way else 0
    cut[large, PieceKind.LARGE_GOOSE, wide, high, then] += units - upended
    cut[large, PieceKind.LARGE_GOOSE, high, wide, then] += upended
    cut[little, PieceKind.SMALL_GOOSE, small, small, then] += 2 * units


def _piece_faults(
    top: Top, cut: Counter[_Key], loose: Mapping[_Key, Counter[str]], pieces: Sequence[Piece]
) -> Iterator[Fault]:
    """Hold the pieces that units take against those that are cut."""
    for key, sides in loose.items():
        most = max((n for side, n in sides.items() if side), default=0)
        cut[key] += max(most, -(-sum(sides.values()) // 4))
    found: Counter[_Key] = Counter()
    for piece in pieces:
        if piece.kind in _KINDS:
            wide, high, count = float(piece.width), float(piece.height), piece.count
            if piece.kind is PieceKind.HALF_SQUARE_STRIP:
                wide, count = _of_strips(top, piece, [k for k in cut if k[0] == piece.fabric])
            found[piece.fabric, piece.kind, wide, high, piece.then] += count
    for key in sorted(+cut | +found):
        if cut[key] != found[key]:
            fabric, kind, wide, high, _ = key
            yield fault(
                FaultKind.UNIT_PIECES, fabric=fabric, piece=kind, width=wide, height=high,
                wanted=cut[key], found=found[key],
            )  # fmt: skip


def _of_strips(top: Top, piece: Piece, wanted: Sequence[_Key]) -> tuple[float, int]:
    """Return how far a triangle of a strip reaches, and how many triangles strips give.

    Point by blunt point: two take what one reaches twice, less the strip's width; ends are
    squared up first.
    """
    high = float(piece.height)
    reach = next((k[2] for k in wanted if k[1] is piece.kind and k[3] == high), 0.0)
    if not reach:
        return 0.0, piece.count
    room = float(piece.width) - float(top.squaring) + 1e-9
    pairs = int(room // (2 * reach - high))
    odd = room - pairs * (2 * reach - high) >= reach
    return reach, piece.count * (2 * pairs + odd)
