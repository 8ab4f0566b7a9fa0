"""Reads a finished booklet's text back and holds its numbers against the plan.

Two questions are asked: does everything the plan says stand in the text, and
does every length in the text stand in the plan?
"""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from io import BytesIO
from typing import TYPE_CHECKING

from api.booklet.chapters.finish import border_row, bound_from
from api.booklet.chapters.needs import amount, backing_amount, purpose
from api.booklet.edition import Edition
from api.booklet.figures.rows import lines, rows
from api.booklet.figures.sewing import sewing
from api.booklet.source import Source, source
from api.drawing.text import showable
from api.pattern.bed_sizes import bed_sizes
from api.pattern.plan import Plan
from api.pattern.threads import threads
from api.wording import english
from api.wording.cutting import notes
from api.wording.pieces import told_sides
from api.wording.threads import judged
from placement.cloth.cutting import CutKind, CuttingPlan, PieceKind
from placement.inches import Inches
from placement.units import UnitKind, take_down

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from api.pattern.plan import Plan
    from placement.cloth.cutting import CuttingPlan
    from placement.inches import Inches

_LENGTH = re.compile(r'(?<![\d/.])(?:\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?)(?:"| (?:yd|mm|cm)\b)')
_BY_STRIPS = (PieceKind.SET_STRIP, PieceKind.BORDER, PieceKind.BINDING)
"""Pieces that are told by the strips they come from."""
_SIZE = r"((?:(?!Cut ).)+?)"
_STRIPS = re.compile(
    rf"Cut (\d+) strips? {_SIZE} wide; from (?:it|each) cut (.+?) \(cuts? [\d– ]+\)"
)
_LONG = re.compile(
    rf"Cut (\d+) strips? {_SIZE} wide and {_SIZE} long for the ((?:\w+ )?border|binding) \("
)
_PIECES = re.compile(
    r"(\d+) ((?:small |large )?(?:square|rectangle|plain block|"
    r"(?:long )?sashing strip|strip|cornerstone)s?) of "
)


def judge(pdf: bytes, plan: Plan, edition: Edition | None = None) -> tuple[str, ...]:
    """Return every way in which a booklet's text and its plan disagree; empty if in none.

    Needs pypdf.

    Parameters
    ----------
    pdf : bytes
        The booklet.
    plan : Plan
        The plan it was made of.
    edition : Edition | None
        The edition it was made in.
    """
    ready = source(plan, {}, edition or Edition())
    edition = ready.edition
    title = english.clean(edition.title or plan.brief.title)
    text = read_text(pdf, (title, showable(title, "Untitled quilt")))
    return tuple(dict.fromkeys((
        *_missing(ready, text),
        *_cutting_faults(ready, text),
        *_unknown_lengths(ready, text),
    )))  # fmt: skip


def read_text(pdf: bytes, titles: Iterable[str] = ()) -> str:
    """Return the text of a PDF on one line, with plain spaces, without its titles' footers."""
    from pypdf import PdfReader

    pages = []
    for number, page in enumerate(PdfReader(BytesIO(pdf)).pages, 1):
        text = _flat(page.extract_text())
        for title in titles:
            text = text.replace(f"{_flat(title)} {number}", " ")
        pages.append(text)
    return _flat(" ".join(pages))


def _flat(text: str) -> str:
    return " ".join(unicodedata.normalize("NFKC", text).split())


def _tight(text: str) -> str:
    """Take all spaces out: a line may break anywhere in a long name."""
    return re.sub(r"\s", "", unicodedata.normalize("NFKC", text))


def _missing(ready: Source, text: str) -> Iterator[str]:
    """Name everything of the plan that the text does not say."""
    tight = _tight(text)
    for before, fabric, after in _with_names(ready):
        if not any(_tight(before + name + after) in tight for name in _spellings(ready, fabric)):
            yield f"{_flat(before + ready.name(fabric) + after)!r} is missing"
    for phrase in (*_phrases(ready), *_row_phrases(ready)):
        if _tight(phrase) not in tight:
            yield f"{_flat(phrase)!r} is missing"


def _spellings(ready: Source, fabric: str) -> Iterator[str]:
    """Yield how a name may come back: as it is, from right to left, in letters that fonts have."""
    name = ready.name(fabric)
    yield name
    yield name[::-1]
    yield " ".join(word[::-1] for word in name.split())
    yield " ".join(reversed(name.split()))
    for noun, swatches in (
        ("Fabric", ready.plan.brief.swatches),
        ("Background", ready.plan.brief.backgrounds),
        ("Thread", ready.plan.brief.threads),
    ):
        for number, swatch in enumerate(swatches, 1):
            if swatch.fabric.id == fabric:
                yield showable(name, f"{noun} {number}")


def _with_names(ready: Source) -> Iterator[tuple[str, str, str]]:
    """Yield a fabric whose name must stand in the text, with the words before and after it."""
    book = ready.book
    for cloth in book.cloths:
        yield "", cloth.fabric, f" {amount(ready, cloth)} {purpose(ready, cloth.fabric)}"
    yield f"{bound_from(ready)}, ", book.binding_fabric, ""
    if book.backing_fabric:
        yield f"{backing_amount(ready)} of ", book.backing_fabric, ""
    for role, fabric in ready.fixed.items():
        if role == "B" or ready.block.has(role):
            yield f"{ready.role(role)} is ", fabric, ""
    for which, frame in enumerate(book.borders, 1):
        first, _, *more = border_row(ready, which)
        yield f"{first} ", frame.fabric, " ".join(more)


def _phrases(ready: Source) -> Iterator[str]:
    """Yield what must stand in the text word for word."""
    brief, book = ready.plan.brief, ready.book
    wide, high = (ready.finished(side) for side in brief.size())
    yield f"Finished size {wide} × {high}"
    if brief.sewing.shrinkage:
        yield f"shrinking by {brief.sewing.shrinkage:g} %"
    yield backing_amount(ready)
    yield from (judged(entry) for entry in [threads(ready.plan).of(brief.thread)] if entry)
    for piece in book.pieces:
        if piece.kind not in _BY_STRIPS:
            yield ready.hand.piece(piece)
    for entry in book.strip_sets:
        yield english.number(entry.slices, "slice")
        yield f"each {ready.cut(entry.sub_cut)} wide"
    if book.sashing:
        yield f"sashing strip, {ready.sides(*book.sashing.cut[::-1])}"
        yield english.number(len(lines(ready.layout)), "line") + " of sashing"
        yield from (f"{n} of {ready.cut(length)}" for length, n in book.sashing.long)
        if book.sashing.half_cornerstones:
            yield english.number(book.sashing.half_cornerstones, "half cornerstone")
    for squares in book.setting:
        yield english.number(squares.triangles, f"{squares.kind} triangle")
    yield bound_from(ready)
    yield ready.cut(book.binding.length)
    yield " × ".join(ready.finished(side) for side in book.batting)
    yield from _border_phrases(ready)
    yield english.number(sum(map(bool, ready.layout.fabrics)), "block")
    yield f"seam allowance of {ready.cut(ready.seam)}"
    yield from _block_counts(ready)


def _border_phrases(ready: Source) -> Iterator[str]:
    """Yield what the steps say of borders; bands before their mitres, if there are several."""
    frames = ready.book.borders
    if not frames:
        return
    wide, high = (ready.finished(side) for side in (frames[-1].width, frames[-1].height))
    yield f"now {wide} × {high} finished"
    if frames[0].corner == "mitred":
        yield "sew the mitre"
        if len(frames) > 1:
            yield "into one band"


def _block_counts(ready: Source) -> Iterator[str]:
    units = take_down(ready.block).units
    for blocks in ready.layout.counts().values():
        yield english.number(blocks, "block")
        for unit, count in units.items():
            nouns = {UnitKind.GOOSE: "flying geese", UnitKind.HALF: "half-square triangle unit",
                     UnitKind.QUARTER: "quarter-square triangle unit"}  # fmt: skip
            yield f"{count * blocks} {nouns.get(unit.kind, 'half-rectangle unit')}"


def _row_phrases(ready: Source) -> Iterator[str]:
    cells = {cell: number for number, cell in enumerate(ready.layout.setting.cells())}
    marked = ready.marked()
    for row in rows(ready.layout):
        found = []
        for cell in row.cells:
            number = cells.get(cell)
            fabric = ready.layout.fabrics[number] if number is not None else ""
            dot = "•" if fabric and number in marked else ""
            found.append(f"{ready.numbers[fabric]}{dot}" if fabric else "B")
        line = " ".join(found)
        if ready.layout.setting.kind == "on point":
            start, end = ("side triangle" if shape else "—" for shape in row.ends)
            line = f"{start} {line} {end}"
        yield f"{row.number} {line}"


def _cutting_faults(ready: Source, text: str) -> Iterator[str]:
    """Add up the pieces that the cutting steps make and hold them against the plan."""
    said: Counter[str] = Counter()
    for count, _, pieces in _STRIPS.findall(text):
        for number, name, cut in _pieces(pieces):
            said[f"{name} {cut}"] += int(count) * number
    for count, height, length, use in _LONG.findall(text):
        said[f"{use} strip {height} × {length}"] += int(count)
    wanted: Counter[str] = Counter()
    for plan in _groups(ready):
        for piece in plan.cuts:
            if piece.use is not None:
                noun, _ = ready.hand.noun(piece.use, square=piece.width == piece.height)
                sides = told_sides(piece.use, *piece.size)
                wanted[_flat(f"{noun} {ready.sides(*sides)}")] += 1
    for name in sorted(said.keys() | wanted.keys()):
        if said[name] != wanted[name]:
            yield f"the steps cut {said[name]} of {name}, the plan {wanted[name]}"


def _groups(ready: Source) -> Iterable[CuttingPlan]:
    """Return one cutting plan of each group of fabrics that are cut alike."""
    found = {(p.cloth.form, p.cloth.count, p.cuts): p for p in reversed(ready.book.cloths)}
    return found.values()


def _pieces(listed: str) -> Iterator[tuple[int, str, str]]:
    """Read '4 squares of 3" for flying geese and 1 square of 5"': count, noun, size."""
    for match in _PIECES.finditer(listed):
        rest = listed[match.end() :]
        length = _LENGTH.match(rest)
        if length is None:
            continue
        cut = length[0]
        second = re.match(r" × ", rest[length.end() :])
        if second:
            other = _LENGTH.match(rest[length.end() + second.end() :])
            cut += f" × {other[0] if other else '?'}"
        yield int(match[1]), match[2].removesuffix("s"), cut


def _unknown_lengths(ready: Source, text: str) -> Iterator[str]:
    """Name every length of the text that the plan does not know."""
    for own in _own_words(ready):
        text = text.replace(_flat(own), " ")
    known = {_flat(length) for length in _known(ready)}
    for length in _LENGTH.findall(text):
        if length not in known:
            yield f"the length {length} is not in the plan"


def _own_words(ready: Source) -> list[str]:
    """Return the designer's words and names, the longest first: they may hold any number."""
    edition, brief = ready.edition, ready.plan.brief
    own = [edition.title, edition.designer, brief.title, edition.introduction, edition.notes]
    own += [ready.name(s.fabric.id) for s in brief.everything()]
    own += [showable(name) for name in own]
    return sorted((name for name in own if name.strip()), key=len, reverse=True)


def _known(ready: Source) -> Iterator[str]:
    """Yield every length of the plan as it is written."""
    for length in _cut_lengths(ready):
        yield ready.cut(length)
    for length in _finished_lengths(ready):
        yield ready.finished(length)
    for phrase in (*_amounts(ready), *notes(ready.plan, ready.book, ready.hand)):
        yield from _LENGTH.findall(_flat(phrase))


def _cut_lengths(ready: Source) -> Iterator[Inches | float]:
    book, setting, seam = ready.book, ready.layout.setting, ready.seam
    yield seam
    for piece in book.pieces:
        yield from (piece.width, piece.height)
    for cloth in book.cloths:
        yield from (cut.height for cut in cloth.cuts if cut.kind is CutKind.STRIP)
        form = cloth.cloth.form
        yield from (side for side in (form.width, form.nominal_width, form.nominal_height) if side)
    for entry in book.strip_sets:
        yield entry.sub_cut
    if book.sashing:
        yield from (length for length, _ in book.sashing.long)
    for part in sewing(ready.block).walk():
        yield from part.size(setting.block_size, seam)
    yield from (side + 2 * float(seam) for side in (setting.width, setting.height))
    yield from (book.binding.cut, book.binding.length)
    for frame in book.borders:
        yield from (frame.cut, frame.sides, frame.ends)


def _finished_lengths(ready: Source) -> Iterator[float]:
    brief, book = ready.plan.brief, ready.book
    yield from brief.size()
    yield float(ready.layout.setting.block_size)
    yield float(ready.layout.setting.sashing)
    for cloth in book.cloths:
        form = cloth.cloth.form
        yield from (float(s) for s in (form.nominal_width, form.nominal_height) if s)
    for frame in book.borders:
        yield from (float(frame.finished), frame.width, frame.height)
    yield from book.batting
    yield book.backing[0].panel_length


def _amounts(ready: Source) -> Iterator[str]:
    for cloth in ready.book.cloths:
        yield amount(ready, cloth)
    yield backing_amount(ready)
    brief, drop = ready.plan.brief, ready.edition.drop
    if drop is None:
        return
    yield ready.finished(float(drop))
    fabrics = len(ready.numbers)
    for row in bed_sizes(brief, float(drop), fabrics):
        yield " ".join(ready.finished(side) for side in (*row.size, float(row.border)))
        yield from (amount(ready, cloth) for cloth in row.book.cloths)
