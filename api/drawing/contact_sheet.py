"""A contact sheet: which fabrics were picked, which were left out, and why.

The page is a stack of strips, each as high as its words need.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PIL import Image, ImageDraw, ImageOps

from api.drawing.cloth import load_print
from api.drawing.encode import photo_png
from api.drawing.quilt import cloth_of
from api.drawing.scene import grey
from api.drawing.text import Font, font, showable, wrap
from api.pattern.plan import Plan
from api.pattern.swatch import Swatch
from api.wording import contact_sheet as words
from api.wording.picks import left_out
from palette.colour import Lab, to_srgb

if TYPE_CHECKING:
    from palette.picking.choice import LeftOut

WIDTH = 1800
"""Pixels across."""

_MARGIN = 120
_GAP = 48
_INNER = WIDTH - 2 * _MARGIN
_PAGE, _INK, _QUIET, _RULE = "#ffffff", "#1c1c1c", "#666666", "#d4d4d4"

_FINER = 1.5
"""Pixels a picture is taken with for each that is shown: what is cut away to fill a shape."""

_BAR = 18
"""Height of a bar of main colours."""


@dataclass(frozen=True, slots=True)
class _Sheet:
    """What every strip needs to look things up."""

    plan: Plan
    """What is shown."""
    pictures: Mapping[str, bytes]
    """JPEG bytes by name."""
    swatches: dict[str, Swatch]
    """Every fabric and background by id."""

    def name(self, fabric: str) -> str:
        """Return a fabric's name as the typeface can show it."""
        return showable(self.swatches[fabric].fabric.name, fabric)


def picks_png(plan: Plan, pictures: Mapping[str, bytes]) -> bytes:
    """Draw a contact sheet of a plan's choice: chosen and left out, each with its reason.

    Parameters
    ----------
    plan : Plan
        The plan; it needs no layout.
    pictures : Mapping[str, bytes]
        JPEG bytes by name; a fabric without its picture is shown in its flat colour.

    Returns
    -------
    bytes
        A PNG, 1,800 pixels wide and as high as it needs to be.
    """
    brief = plan.brief
    sheet = _Sheet(
        plan,
        pictures,
        {swatch.fabric.id: swatch for swatch in (*brief.swatches, *brief.backgrounds)},
    )
    strips = list(_strips(sheet))
    page = Image.new("RGB", (WIDTH, sum(strip.height for strip in strips) + _MARGIN), _PAGE)
    top = 0
    for strip in strips:
        page.paste(strip, (0, top))
        top += strip.height
    return photo_png(page)


def _strips(sheet: _Sheet) -> Iterator[Image.Image]:
    choice = sheet.plan.choice
    yield _title(sheet)
    if sheet.plan.background in sheet.swatches:
        yield _heading(words.BACKGROUND, "")
        yield _background(sheet)
    if choice is None:
        return
    if choice.kept:
        yield _heading(words.CHOSEN, str(len(choice.kept)))
        yield _note(words.CHOSEN_NOTE)
        yield from _cards(sheet, choice.kept)
    if choice.left_out:
        yield _heading(words.LEFT_OUT, str(len(choice.left_out)))
        if any(entry.other for entry in choice.left_out):
            yield _note(words.LEFT_OUT_NOTE)
        yield from _reasons(sheet, choice.left_out)


def _strip(height: float) -> tuple[Image.Image, ImageDraw.ImageDraw]:
    image = Image.new("RGB", (WIDTH, round(height)), _PAGE)
    return image, ImageDraw.Draw(image)


def _height(face: Font) -> int:
    return round(face.size * 1.36)


def _write(
    draw: ImageDraw.ImageDraw, at: tuple[int, int], lines: Sequence[str], face: Font, ink: str
) -> int:
    """Write lines one below the other; return where the next one would go."""
    x, y = at
    for line in lines:
        # Some letters begin a pixel before the line does.
        draw.text((x - min(0, face.getbbox(line)[0]), y), line, ink, face)
        y += _height(face)
    return y


def _title(sheet: _Sheet) -> Image.Image:
    face, small = font(68, "semibold"), font(27)
    title = wrap(showable(sheet.plan.brief.title, words.UNTITLED), face, _INNER, 3)
    lines = [
        line
        for text in words.introduction(sheet.plan)
        for line in wrap(showable(text), small, _INNER)
    ]
    height = _MARGIN + len(title) * _height(face) + len(lines) * _height(small) + 20
    image, draw = _strip(height)
    below = _write(draw, (_MARGIN, _MARGIN - 16), title, face, _INK)
    _write(draw, (_MARGIN, below + 14), lines, small, _QUIET)
    return image


def _heading(text: str, count: str) -> Image.Image:
    image, draw = _strip(126)
    face = font(34, "semibold")
    draw.line((_MARGIN, 46, WIDTH - _MARGIN - 1, 46), _RULE, 2)
    draw.text((_MARGIN, 66), text, _INK, face)
    draw.text((WIDTH - _MARGIN, 66), count, _QUIET, font(34), anchor="ra")
    return image


def _note(text: str) -> Image.Image:
    face = font(23)
    lines = wrap(text, face, _INNER)
    image, draw = _strip(len(lines) * _height(face) + 24)
    _write(draw, (_MARGIN, 0), lines, face, _QUIET)
    return image


def _background(sheet: _Sheet) -> Image.Image:
    swatch = sheet.swatches[sheet.plan.background]
    side = 300
    image, draw = _strip(side + _BAR + 8)
    image.paste(_picture(sheet, swatch, (side, side)), (_MARGIN, 0))
    _bar(draw, swatch, (_MARGIN, side + 8, _MARGIN + side, side + 8 + _BAR))
    left, width = _MARGIN + side + _GAP, _INNER - side - _GAP
    face, small = font(44, "semibold"), font(27)
    y = _write(draw, (left, 0), wrap(sheet.name(swatch.fabric.id), face, width, 2), face, _INK)
    _chip(draw, (left, y + 18), 88, swatch.fabric.reads_as)
    draw.text((left, y + 134), words.on_it(sheet.plan), _QUIET, small)
    return image


def _cards(sheet: _Sheet, fabrics: Sequence[str]) -> Iterator[Image.Image]:
    columns = 4 if len(fabrics) <= 24 else 5
    for start in range(0, len(fabrics), columns):
        yield _row(sheet, fabrics[start : start + columns], columns)


def _row(sheet: _Sheet, fabrics: Sequence[str], columns: int) -> Image.Image:
    width = (_INNER - (columns - 1) * _GAP) // columns
    tall = width * 3 // 4
    face, small = font(27, "semibold"), font(22)
    names = [wrap(sheet.name(fabric), face, width, 2) for fabric in fabrics]
    told = [
        [
            line
            for part in words.stands(sheet.plan, fabric)
            for line in wrap(part, small, width - 84)
        ]
        for fabric in fabrics
    ]
    below = max(92, max(map(len, told)) * _height(small) + 34)
    text = max(len(lines) for lines in names) * _height(face)
    image, draw = _strip(tall + _BAR + text + below + _GAP)
    for number, (fabric, lines) in enumerate(zip(fabrics, names, strict=True)):
        left = _MARGIN + number * (width + _GAP)
        swatch = sheet.swatches[fabric]
        image.paste(_picture(sheet, swatch, (width, tall)), (left, 0))
        _bar(draw, swatch, (left, tall + 8, left + width, tall + 8 + _BAR))
        _write(draw, (left, tall + _BAR + 22), lines, face, _INK)
        top = tall + _BAR + text + 34
        _chip(draw, (left, top), 56, swatch.fabric.reads_as)
        _write(draw, (left + 84, top - 3), told[number], small, _QUIET)
    return image


def _reasons(sheet: _Sheet, entries: Sequence[LeftOut]) -> Iterator[Image.Image]:
    for start in range(0, len(entries), 2):
        yield _pair(sheet, entries[start : start + 2])


def _pair(sheet: _Sheet, entries: Sequence[LeftOut]) -> Image.Image:
    """Show up to two fabrics that were left out, side by side."""
    side, column = 150, (_INNER - _GAP) // 2
    width = column - side - 28
    face, small = font(27, "semibold"), font(23)
    names = [wrap(sheet.name(entry.fabric), face, width, 2) for entry in entries]
    texts = [wrap(showable(left_out(sheet.plan, entry)), small, width) for entry in entries]
    heights = [
        len(name) * _height(face) + len(text) * _height(small) + 6
        for name, text in zip(names, texts, strict=True)
    ]
    image, draw = _strip(max(side + 14 + _BAR, *heights) + 44)
    for number, (entry, name, text) in enumerate(zip(entries, names, texts, strict=True)):
        left = _MARGIN + number * (column + _GAP)
        image.paste(_left_out(sheet, entry, side), (left, 6))
        below = _write(draw, (left + side + 28, 0), name, face, _INK)
        _write(draw, (left + side + 28, below + 4), text, small, _QUIET)
    return image


def _left_out(sheet: _Sheet, entry: LeftOut, side: int) -> Image.Image:
    """Show a fabric with, in its corner to compare, the one it is too like."""
    swatch = sheet.swatches[entry.fabric]
    image = Image.new("RGB", (side, side + 8 + _BAR), _PAGE)
    image.paste(_picture(sheet, swatch, (side, side)))
    if entry.other in sheet.swatches and entry.other != entry.fabric:
        corner = side - 64
        image.paste(_PAGE, (corner - 4, corner - 4, side, side))
        image.paste(_picture(sheet, sheet.swatches[entry.other], (64, 64)), (corner, corner))
    _bar(ImageDraw.Draw(image), swatch, (0, side + 8, side, side + 8 + _BAR))
    return image


def _picture(sheet: _Sheet, swatch: Swatch, size: tuple[int, int]) -> Image.Image:
    """Return the middle of a fabric's picture, filling a size; its flat colour without one."""
    data = sheet.pictures.get(swatch.picture)
    if data is None:
        return Image.new("RGB", size, to_srgb(swatch.fabric.reads_as))
    cloth = cloth_of(swatch)
    image = load_print(cloth, data, _FINER * max(size) / cloth.shows).image
    return ImageOps.fit(image, size, Image.Resampling.HAMMING)


def _bar(draw: ImageDraw.ImageDraw, swatch: Swatch, box: tuple[int, int, int, int]) -> None:
    """Draw the main colours side by side, each as wide as its share of the cloth."""
    left, top, right, bottom = box
    total = sum(part.share for part in swatch.fabric.colours)
    done = 0.0
    for part in swatch.fabric.colours:
        start = left + (right - left) * done / total
        done += part.share
        end = left + (right - left) * done / total
        if round(end) > round(start):
            draw.rectangle((round(start), top, round(end) - 1, bottom - 1), to_srgb(part.colour))


def _chip(draw: ImageDraw.ImageDraw, at: tuple[int, int], side: int, colour: Lab) -> None:
    """Draw a colour and, a third as wide, its grey."""
    left, top = at
    middle, right, bottom = left + side * 9 // 10, left + side * 12 // 10, top + side
    draw.rectangle((left, top, middle - 1, bottom - 1), to_srgb(colour))
    draw.rectangle((middle, top, right - 1, bottom - 1), grey(colour))
