"""Sew the booklet on paper: what its steps join ends at the size on the cover."""

from __future__ import annotations

import re
from fractions import Fraction
from math import hypot, isclose, sqrt
from typing import TYPE_CHECKING

import pytest

from api.booklet.chapters.contents import booklet
from api.booklet.edition import Edition
from api.booklet.parts import Booklet, Bullets, Steps, Table
from api.pattern.brief import Band
from api.pattern.sewing import Sewing
from placement.block import block_names
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Callable

    from api.pattern.plan import Plan

SEAM = Fraction(1, 4)
_LENGTH = r'(\d+ \d+/\d+|\d+/\d+|\d+)"'


def inches(text: str) -> Fraction:
    return sum((Fraction(part) for part in text.replace('"', "").split()), Fraction(0))


def sides(text: str) -> tuple[Fraction, Fraction]:
    found = [inches(length) for length in re.findall(_LENGTH, text.replace("\u00a0", " "))]
    return (found[0], found[1] if len(found) > 1 else found[0])


def steps(made: Booklet, title: str) -> list[str]:
    lines = []
    for chapter in made.chapters:
        if chapter.title.startswith(title):
            for part in chapter.parts:
                if isinstance(part, Steps):
                    lines += part.lines
    return [line.replace("\u00a0", " ") for line in lines]


def sew(parts: list[tuple[Fraction, Fraction]], *, below: bool) -> tuple[Fraction, Fraction]:
    """Join rectangles with seams; edges that are sewn must be equally long."""
    along = {part[0 if below else 1] for part in parts}
    assert len(along) == 1, f"edges of {along} do not match"
    across = sum((part[1 if below else 0] for part in parts), Fraction(0))
    joined = across - 2 * SEAM * (len(parts) - 1)
    return (along.pop(), joined) if below else (joined, along.pop())


def borders(made: Booklet) -> list[tuple[Fraction, Fraction, Fraction, tuple[float, float]]]:
    """Return cut width, side length, end length of each border, and the finished size after it."""
    (listed,) = (
        part
        for chapter in made.chapters
        if chapter.title.startswith("Border")
        for part in chapter.parts
        if isinstance(part, Bullets)
    )
    found = []
    for line in listed.lines:
        lengths = [inches(length) for length in re.findall(_LENGTH, line.replace("\u00a0", " "))]
        _, width, side, end, wide, high = lengths
        found.append((width, side, end, (float(wide), float(high))))
    return found


@pytest.mark.parametrize("pattern", [name for name in block_names() if name != "plain-square"])
@pytest.mark.parametrize("kind", ["on point", "straight"])
def test_the_steps_sewn_on_paper_end_at_the_finished_size(
    plan_of: Callable[..., Plan], pattern: str, kind: str
) -> None:
    made = booklet(plan_of(pattern=pattern, kind=kind, block="15"), {}, Edition())
    size = None
    lines = steps(made, "The block")
    for line, after in zip(lines, lines[3:], strict=False):
        listed = re.match(r"Lay out (?:\d+ parts|these patches).*?: (.*)\.$", line)
        if not listed:
            continue
        parts = []
        for entry in listed[1].split("; "):
            count, rest = entry.split(" × ", 1)
            parts += [sides(rest)] * int(count)
        size = sew(parts, below="one below the other" in line)
        said = sides(after)
        assert size == said, (line, after)
    size = size or _one_part(made)
    assert size[0] == size[1] == 15 + 2 * SEAM
    wide, high = _centre(made, size[0], kind)
    ((strip, side_length, end_length, _),) = borders(made)
    eighth = 1 / 16 + 1e-9
    assert abs(float(side_length) - high) <= eighth
    wide += 2 * (float(strip) - 2 * float(SEAM))
    assert abs(float(end_length) - wide) <= eighth
    high += 2 * (float(strip) - 2 * float(SEAM))
    cover = sides(made.facts[0][1])
    finished = (wide - 2 * float(SEAM), high - 2 * float(SEAM))
    assert all(abs(float(c) - f) <= eighth for c, f in zip(cover, finished, strict=True))


BANDS = (Band(Inches.parse("1 1/4")), Band(Inches.parse(3), "fabric-1"))


def test_two_butted_borders_are_sewn_on_one_after_the_other(plan_of: Callable[..., Plan]) -> None:
    made = booklet(plan_of(kind="straight", block="6", borders=BANDS), {}, Edition())
    wide, high = 18 + 2 * SEAM, 24 + 2 * SEAM
    for strip, side, end, then in borders(made):
        (wide, middle), edge = sew([(strip, side), (wide, high), (strip, side)], below=False), side
        assert edge == high == middle
        wide, high = sew([(end, strip), (wide, high), (end, strip)], below=True)
        assert then == (wide - 2 * SEAM, high - 2 * SEAM)
    assert (wide - 2 * SEAM, high - 2 * SEAM) == sides(made.facts[0][1])


def test_mitred_borders_become_one_band_before_they_are_sewn_on(
    plan_of: Callable[..., Plan],
) -> None:
    """A mitred strip reaches the outer corners and q(1 + sqrt 2) beyond; derived."""
    mitred = Sewing(corner="mitred")
    plan = plan_of(kind="straight", block="6", borders=BANDS, sewing=mitred)
    made = booklet(plan, {}, Edition())
    beyond = 2 * float(SEAM) * (1 + sqrt(2))
    for _, side, end, (wide, high) in borders(made):
        for length, finished in ((side, high), (end, wide)):
            assert abs(float(length) - finished - beyond) <= 1 / 16
    lines = steps(made, "Borders")
    order = [
        next(n for n, line in enumerate(lines) if words in line)
        for words in ("into one band", "Sew each band on", "sew the mitre", "other three corners")
    ]
    assert order == sorted(order)
    assert sum("mitre" in line and line.startswith("Fold") for line in lines) == 1


def _one_part(made: Booklet) -> tuple[Fraction, Fraction]:
    """Return the size of a block that is one slice of a strip set or one unit."""
    for line in steps(made, "Strip sets"):
        if line.startswith("Lay out the strips"):
            strips = [inches(width) for width in re.findall(_LENGTH, line)]
        if line.startswith("Cut slices"):
            (sub_cut,) = {inches(width) for width in re.findall(_LENGTH, line)}
            return sew([(sub_cut, width) for width in strips], below=True)
    trimmed = [line for line in steps(made, "Units") if line.startswith("Trim to")]
    return sides(trimmed[0])


def _centre(made: Booklet, block: Fraction, kind: str) -> tuple[float, float]:
    """Lay out the rows of the layout's table; return the unfinished size of the centre."""
    table = next(
        part
        for chapter in made.chapters
        if chapter.title == "Layout"
        for part in chapter.parts
        if isinstance(part, Table)
    )
    finished = float(block - 2 * SEAM)
    if kind == "straight":
        rows = [str(row[1]).split() for row in table.rows]
        assert len({len(row) for row in rows}) == 1
        return len(rows[0]) * finished + 2 * float(SEAM), len(rows) * finished + 2 * float(SEAM)
    # Row k runs from bottom left to top right; its first block lies on the left edge while a
    # triangle or the corner precedes it there, then on the bottom edge.
    counts = [len(str(row[2]).split()) for row in table.rows]
    corner_start = next(n for n, row in enumerate(table.rows) if row[1] == "—")
    corner_end = next(n for n, row in enumerate(table.rows) if row[3] == "—")
    down, across = corner_start + 1, corner_end + 1
    assert len(counts) == across + down - 1
    assert sum(counts) == across * down + (across - 1) * (down - 1)
    assert isclose(hypot(finished, finished), finished * sqrt(2))
    diagonal = finished * sqrt(2)
    return across * diagonal + 2 * float(SEAM), down * diagonal + 2 * float(SEAM)


def test_setting_triangles_that_are_too_small_are_sewn_and_trimmed_as_they_are(
    plan_of: Callable[..., Plan],
) -> None:
    """Lay a side triangle against two blocks on paper and measure where its long edge ends.

    Cut twice, a square of side s gives triangles with a long edge of s and a height of s / 2.
    Their two short edges are sewn to blocks, so its right angle lies in the corner between them,
    a seam allowance times sqrt(2) beyond the corner of the finished blocks.
    """
    square, side, seam = 12.0, 8.5, float(SEAM)
    made = booklet(plan_of(sewing=Sewing(side_square=Inches.parse(12))), {}, Edition())
    points = side * sqrt(2) / 2  # from the corner between two blocks to the line of their points
    short = points - (square / 2 - seam * sqrt(2) - seam)  # to the seam along the long edge
    lines = " ".join(steps(made, "Layout"))
    assert "Trim the edges straight, even with the side triangles" in lines
    said = re.search(rf"blunt the points of the blocks by about {_LENGTH}", lines)
    assert said
    assert isclose(float(inches(said[1])), short, abs_tol=1 / 16)
    assert "outside the points" not in lines
    # Three blocks on point across, four down; the measure is told to 1/8 in.
    top = re.search(rf"now measures about {_LENGTH} × {_LENGTH}", lines)
    assert top
    for told, count in ((top[1], 3), (top[2], 4)):
        sewn = count * side * sqrt(2) + 2 * seam - 2 * short
        assert isclose(float(inches(told)), sewn, abs_tol=1 / 16)
