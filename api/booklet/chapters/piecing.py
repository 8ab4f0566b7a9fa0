"""Strip sets, units and the block, step by step."""

from __future__ import annotations

from collections import Counter
from string import ascii_uppercase
from typing import TYPE_CHECKING

from api.booklet.chapters.units import unit_parts
from api.booklet.figures import blocks
from api.booklet.figures.sewing import Join, joins, sewing
from api.booklet.figures.sewing import Part as Sewn
from api.booklet.parts import Chapter, Figure, Gallery, Heading, Part, Steps, Table, Words
from api.wording import english
from api.wording.methods import UNITS
from placement.cloth.pieces import StripSet
from placement.inches import Inches
from placement.units import unit_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from api.booklet.source import Source
    from placement.cloth.pieces import StripSet


def piecing(source: Source) -> Iterator[Chapter]:
    """Yield the chapters on strip sets, units and the block; those that the block has."""
    strips = tuple(_strip_sets(source))
    if strips:
        yield Chapter("Strip sets", strips, new_page=False)
    units = tuple(unit_parts(source))
    if units:
        yield Chapter("Units", units, new_page=False)
    yield Chapter("The block", tuple(_block(source)), new_page=False)


def cut_of(source: Source, part: Sewn) -> tuple[Inches, Inches]:
    """Return width and height of a sewn part with its seam allowance."""
    return part.size(source.layout.setting.block_size, source.seam)


def _size(source: Source, part: Sewn) -> str:
    return source.sides(*cut_of(source, part))


def _strips(source: Source, join: Join) -> tuple[tuple[str, Inches], ...]:
    """Return role and cut width of each strip of a segment."""
    place = 1 if join.part.axis == "rows" else 0
    return tuple(
        (_letter(source, inner.patches[0].roles), cut_of(source, inner)[place])
        for inner in join.part.parts
    )


def _sets_for(source: Source, join: Join) -> tuple[StripSet, ...]:
    """Return the strip sets that a segment is cut from, one a fabric."""
    strips = _strips(source, join)
    place = 0 if join.part.axis == "rows" else 1
    sub_cut = cut_of(source, join.part)[place]
    return tuple(
        entry
        for entry in source.book.strip_sets
        if entry.sub_cut == sub_cut
        and (_is_set(source, strips, entry) or _is_set(source, strips[::-1], entry))
    )


def _is_set(source: Source, strips: tuple[tuple[str, Inches], ...], entry: StripSet) -> bool:
    """Whether a strip set is made of these roles and widths in this order."""
    ground = source.plan.background
    return len(strips) == len(entry.strips) and all(
        wide == width
        and (fabric == source.fixed[letter] if letter in source.fixed else fabric != ground)
        for (letter, wide), (fabric, width) in zip(strips, entry.strips, strict=True)
    )


def _letter(source: Source, roles: str) -> str:
    """Return a whole patch's role; the second feature is a feature unless it has its own cloth."""
    return roles if roles in source.fixed else "F"


def _strip_sets(source: Source) -> Iterator[Part]:
    seen: set[object] = set()
    for join in joins(source.block, source.book.pressing, "segment"):
        sets = _sets_for(source, join)
        strips = _strips(source, join)
        key = (min(strips, strips[::-1]), sets[0].sub_cut if sets else None)
        if not sets or key in seen:
            continue
        seen.add(key)
        yield Heading(f"Slices of {_roles(source, [role for role, _ in strips])}")
        yield Steps(tuple(_strip_steps(source, strips, sets[0])), (_strip_figure(source, join),))
        yield _strip_table(source, sets)


def _roles(source: Source, roles: list[str]) -> str:
    """Name the cloths of a slice; one and the same from either end."""
    letters = [_letter(source, role) for role in roles]
    return english.listed([source.role(letter) for letter in max(letters, letters[::-1])])


def _strip_figure(source: Source, join: Join) -> Figure:
    strips = _strips(source, join)
    sizes = english.listed([f"{source.role(role)} {source.cut(width)}" for role, width in strips])
    return blocks.strip_set(source, join, tuple(role for role, _ in strips), f"Strips: {sizes}")


def _strip_steps(
    source: Source, strips: tuple[tuple[str, Inches], ...], entry: StripSet
) -> Iterator[str]:
    sizes = english.listed([f"{source.role(role)}, {source.cut(width)}" for role, width in strips])
    yield f"Lay out the strips in this order: {sizes}."
    yield f"Sew them side by side with a {source.cut(source.seam)} seam."
    yield _press(source) if strips == strips[::-1] else "Press to one side."
    yield "Square up one end."
    yield f"Cut slices, each {source.cut(entry.sub_cut)} wide, in the number listed."


def _strip_table(source: Source, sets: tuple[StripSet, ...]) -> Table:
    groups: dict[tuple[int, tuple[int, ...]], list[int]] = {}
    for entry in sets:
        numbers = [source.numbers[fabric] for fabric, _ in entry.strips if fabric in source.numbers]
        groups.setdefault((entry.slices, entry.sets), []).extend(numbers[:1])
    rows = tuple(
        (
            english.ranges(sorted(numbers)) or "All blocks",
            english.number(len(cuts), "set"),
            english.number(slices, "slice"),
        )
        for (slices, cuts), numbers in groups.items()
    )
    return Table(("Fabric", "Sew for each", "Cut from it"), rows, (0,))


def _block(source: Source) -> Iterator[Part]:
    setting, block = source.layout.setting, source.block
    side = source.cut(Inches(setting.block_size.value + 2 * source.seam.value))
    pieced = sum(map(bool, source.layout.fabrics))
    yield Words(
        (
            (
                f"Make {english.number(pieced, 'block')}, {block.name.lower()}: each "
                f"{source.finished(float(setting.block_size))} finished, {side} with seam "
                f"allowance."
            ),
        )
    )
    whole = sewing(block)
    if whole.kind in ("patch", "unit", "segment"):
        name = {"patch": "square of cloth", "unit": "unit", "segment": "slice"}[whole.kind]
        yield Words((f"One {name}, {side}, is the whole block.",))
    yield from _joins(source)
    yield from _whole(source)
    if len(source.book.pressing.plans) == 2:
        yield from _counts(source)


def _joins(source: Source) -> Iterator[Part]:
    pressing, block = source.book.pressing, source.block
    for join in joins(block, pressing, "segment"):
        few = _without_sets(source, join)
        if few:
            yield from _few(source, join, few)
    for join in joins(block, pressing, "partial"):
        caption = f"Partial seam: {_size(source, join.part)} with seams"
        yield Steps(
            (
                "Lay out these patches as drawn.",
                "Sew the first seam only half way, add the others round it, then close it.",
                f"Trim to {_size(source, join.part)}.",
            ),
            (blocks.partial(source, join.part, caption),),
        )
    found = joins(block, pressing, "join")
    letters = {inner: ascii_uppercase[n % 26] for n, join in enumerate(found) for inner in join.all}
    for join in found:
        yield from _join(source, join, letters)


def _join(source: Source, join: Join, letters: Mapping[Sewn, str]) -> Iterator[Part]:
    whole = len(join.part.patches) == len(source.block.patches)
    size = _size(source, join.part)
    noun = "block" if whole else f"{_kind(source, join.part)} {letters[join.part]}"
    said = "the block" if whole else noun
    yield Heading(
        "Join the block"
        if whole
        else english.capital(noun) + f", {join.count} a block" * (join.count > 1)
    )
    inner = english.number(len(join.part.parts), "part")
    below = "one below the other" if join.part.axis == "rows" else "side by side"
    yield Steps(
        (
            f"Lay out {inner} {below}: {_parts(source, join.part, letters)}.",
            f"Sew them together with a {source.cut(source.seam)} seam.",
            _press(source),
            f"{english.capital(said)} measures {size}.",
        ),
        (blocks.apart(source, join, f"{english.capital(noun)}, {size}"), *_pressed(source) * whole),
    )


def _pressed(source: Source) -> tuple[Figure, ...]:
    """Return the drawing of every seam's pressing, if it is the same in all blocks."""
    if len(source.book.pressing.plans) > 1:
        return ()
    return (blocks.whole_block(source, 0, "Pressing of every block"),)


def _press(source: Source) -> str:
    """Say that arrows show the pressing; those of the first, if there are two."""
    plans = source.book.pressing.plans
    if len(plans) == 1:
        return "Press as the arrows show."
    opposite = all(one != other for one, other in zip(*plans, strict=True))
    second = "the other way" if opposite else "as its drawing shows"
    return f"Press as the arrows show; for the second pressing, {second}."


def _parts(source: Source, part: Sewn, letters: Mapping[Sewn, str]) -> str:
    """Name the parts of a join with their sizes, like ones together."""
    tally: dict[str, int] = {}
    for inner in part.parts:
        letter = f" {letters[inner]}" if inner in letters else ""
        name = f"{_kind(source, inner)}{letter}, {_size(source, inner)}"
        tally[name] = tally.get(name, 0) + 1
    return "; ".join(f"{count}\u00a0× {name}" for name, count in tally.items())


def _kind(source: Source, part: Sewn) -> str:
    if part.kind == "patch":
        return f"{source.role(part.patches[0].roles)} patch"
    if part.kind == "unit":
        return UNITS[unit_of(part.patches[0]).kind]
    if part.kind == "segment":
        return f"slice of {_roles(source, [inner.patches[0].roles for inner in part.parts])}"
    return "column" if part.axis == "rows" else "row"


def _without_sets(source: Source, join: Join) -> tuple[int, ...]:
    """Return the numbers of fabrics whose slices are sewn from single patches."""
    served = {fabric for entry in _sets_for(source, join) for fabric, _ in entry.strips}
    if {role for role, _ in _strips(source, join)} == {"B"} and served:
        return ()
    return tuple(n for fabric, n in source.numbers.items() if fabric not in served)


def _few(source: Source, join: Join, few: tuple[int, ...]) -> Iterator[Part]:
    size = _size(source, join.part)
    some = len(few) < len(source.numbers)
    numbers = english.ranges(few)
    below = "one below the other" if join.part.axis == "rows" else "side by side"
    who = f" (fabric {numbers})" if some else ""
    yield Heading(english.capital(f"slices, {join.count} a block{who}"))
    yield Steps(
        (
            f"Lay out these patches {below}: {_parts(source, join.part, {})}.",
            f"Sew them together with a {source.cut(source.seam)} seam.",
            _press(source),
            f"The slice measures {size}.",
        ),
        (blocks.apart(source, join, f"Slice, {size}"),),
    )


def _whole(source: Source) -> Iterator[Part]:
    pressing = source.book.pressing
    if not pressing.seams:
        return
    if len(pressing.plans) == 1:
        if sewing(source.block).kind != "join":  # else it stands beside the block
            yield Heading("Pressing")
            yield Gallery(_pressed(source))
        yield Words(_turn_words(source))
        return
    yield Heading("Pressing")
    yield Gallery(
        (
            blocks.whole_block(source, 0, "First pressing"),
            blocks.whole_block(source, 1, "Second pressing"),
        )
    )
    second = len(source.marked())
    total = sum(map(bool, source.layout.fabrics))
    yield Words(
        (
            (
                f"Press {english.number(total - second, 'block')} the first way and "
                f"{second} the second way, so that seams nest where blocks meet. The layout shows "
                "which are which."
            ),
        )
    )
    if pressing.failing:
        yield Words(_failing(source))


def _failing(source: Source) -> tuple[str, ...]:
    count = len(source.book.pressing.failing)
    return (f"At {english.number(count, 'kind')} of junction the seams can't nest; pin these.",)


def _turn_words(source: Source) -> tuple[str, ...]:
    found: tuple[str, ...] = ()
    if source.book.pressing.turn:
        by = "half" if source.book.pressing.turn == 180 else "a quarter"
        found = (f"Every other block is turned {by} round in the layout, so that seams nest.",)
    if source.book.pressing.failing:
        found += _failing(source)
    return found


def _counts(source: Source) -> Iterator[Part]:
    """Say how many blocks of each fabric are pressed which way."""
    second = Counter(source.layout.fabrics[number] for number in source.marked())
    counts = source.layout.counts()
    alike: dict[tuple[int, int], list[int]] = {}
    for fabric, number in source.numbers.items():
        alike.setdefault((counts[fabric], second[fabric]), []).append(number)
    rows = tuple(
        (
            english.ranges(numbers),
            english.number(count, "block"),
            str(count - pressed),
            str(pressed),
        )
        for (count, pressed), numbers in sorted(alike.items(), reverse=True)
    )
    yield Heading("Blocks of each fabric")
    yield Table(("Fabric", "Each makes", "First pressing", "Second pressing"), rows, (0,))
