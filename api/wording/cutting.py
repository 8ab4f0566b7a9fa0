"""The cut book in words: a text to print and take to the cutting table."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.wording.cut_lines import layers_lines, slack_line, then_lines
from api.wording.cuts import cut_steps, leader, pieces_of, same_for_all, strip_sets
from api.wording.english import listed
from api.wording.faults import verdict
from api.wording.finishing import finishing
from api.wording.methods import made_otherwise, unit_lines
from api.wording.names import name_of
from api.wording.pieces import Hand, form_name, hand
from api.wording.pressing import pressing_words
from api.wording.setting import sashing, setting
from api.wording.shopping import shopping_lines
from api.wording.verdict import beside, problems, sentence
from placement.cloth.pieces import Note, NoteKind
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from api.pattern.cut_book import CutBook
    from api.pattern.plan import Plan
    from placement.cloth.cutting import CuttingPlan

CAUTIONS = (
    (
        "Close the rotary cutter after every cut, cut away from your body, keep fingers off the "
        "ruler's edge, wear shoes, and change a dull blade."
    ),
    "Stand the iron upright, keep hands clear of steam, and unplug it when done.",
    "Keep fingers clear of the needle and never sew over pins.",
    "Test reds and darks for bleeding; wash all of the fabrics or none. Small pre-cuts may fray.",
    (
        "Young people cut and press with an adult beside them. Follow your tools' instructions and "
        "the rules that hold where you are."
    ),
)
"""Common practice; a crib quilt adds its own (see cautions)."""

CRIB_SIDE = 54.0
"""A quilt no longer than this may end in a crib, inches."""

CRIB = (
    "A quilt of this size may end in a crib: no soft bedding belongs in a crib with an infant "
    "under 12 months (CPSC, 8 April 1999)."
)


def cautions(plan: Plan) -> tuple[str, ...]:
    """Return the cautions that belong beside the cutting of this plan."""
    return (*CAUTIONS, CRIB) if max(plan.brief.size()) <= CRIB_SIDE else CAUTIONS


def cutting_text(plan: Plan, book: CutBook) -> str:
    """Return the whole cut book as text, ending in a newline."""
    told = hand(plan, book)
    around = (f"{what}: {much}." for what, much in finishing(plan, book))
    parts = [
        [plan.brief.title, "=" * len(plan.brief.title),
         *problem_lines(plan, book), *notes(plan, book, told)],
        [verdict(book)],
        ["Before you cut", *(f"- {line}" for line in cautions(plan))],
        *_cloths(plan, book, told),
        list(_headed("Strip sets", strip_sets(plan, book.strip_sets))),
        list(_headed("Units", unit_lines(plan, book, told))),
        list(_headed("Sashing", sashing(plan, book))),
        list(_headed("Setting triangles", setting(plan, book))),
        list(_headed("Around the blocks", around)),
        list(_headed("Shopping list", shopping_lines(plan, book))),
        ["Pressing", pressing_words(book.pressing)],
    ]  # fmt: skip
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def _headed(heading: str, lines: Iterable[str]) -> Iterator[str]:
    """Put a heading over lines, if there are any."""
    for count, line in enumerate(lines):
        if not count:
            yield heading
        yield f"- {line}"


def problem_lines(plan: Plan, book: CutBook) -> tuple[str, ...]:
    """Return what is wrong with every cloth that does not suffice, by the fabric's name."""
    short = book.problems
    names = [name_of(plan, entry.fabric) for entry in short]
    return tuple(problems(short, names, hand(plan, book)))


def notes(plan: Plan, book: CutBook, told: Hand) -> tuple[str, ...]:
    """Return what the maker should know, in sentences."""
    return tuple(_note(plan, note, told) for note in book.notes)


def _note(plan: Plan, note: Note, told: Hand) -> str:
    block = plan.brief.pattern().name
    if note.kind is NoteKind.OTHER_METHOD:
        return made_otherwise(plan, note)
    if note.kind is NoteKind.PARTIAL_SEAM:
        return f"{block} needs a partial seam: no seam runs right across it."
    lengths = told.lengths
    if note.kind is NoteKind.SEAM_OFF_RULER:
        usual = " or ".join(lengths.cut(Inches.parse(seam)) for seam in ("6 mm", "7.5 mm"))
        return (
            "With this seam allowance all sizes to cut fall between the ruler's millimetres; one "
            f"of {usual} keeps to them."
        )
    marks = "millimetres" if lengths.units == "metric" else "sixteenths"
    near = " or ".join(lengths.cut(size) for size in note.near)
    side = lengths.cut(plan.brief.setting.block_size)
    return (
        f"Parts of {block.lower()} at {side} fall between the "
        f"ruler's {marks}; a block of {near} is easier to cut."
    )


def captions(plan: Plan, book: CutBook, cloth: CuttingPlan) -> tuple[str, str, str]:
    """Return a drawing's title, its verdict, and what stands along the cloth's width."""
    told, form = hand(plan, book), cloth.cloth.form
    title = f"{name_of(plan, cloth.fabric)}, {form_name(form.kind)}"
    return title, sentence(cloth, told), f"{told.lengths.cut(form.width)} usable"


def _cloths(plan: Plan, book: CutBook, told: Hand) -> Iterator[list[str]]:
    """Yield a part for each fabric; fabrics that are cut alike share one."""
    alike: dict[object, list[CuttingPlan]] = {}
    for cloth in book.cloths:
        key = (cloth.cloth.form, cloth.cloth.count, cloth.cuts, sentence(cloth, told))
        alike.setdefault(key, []).append(cloth)
    for group in alike.values():
        names = [name_of(plan, cloth.fabric) for cloth in group]
        form = form_name(group[0].cloth.form.kind)
        if len(names) == 1:
            heading = f"{names[0]}, {form}"
        else:
            heading = f"Each of {len(names)} fabrics, {form}: {', '.join(names)}"
        yield [heading, sentence(group[0], told), *beside(group[0], told),
               *(f"- {line}" for line in _how_cut(plan, book, group, told))]  # fmt: skip


def _how_cut(plan: Plan, book: CutBook, group: Sequence[CuttingPlan], told: Hand) -> Iterator[str]:
    """Yield how fabrics with the same cuts are cut."""
    first = leader(group)
    yield from layers_lines(first, len(group), plan.brief.sewing.layers)
    yield from same_for_all(group, told, lambda ids: listed(name_of(plan, each) for each in ids))
    yield from (words for _, words in cut_steps(first, told))
    yield from slack_line(first, pieces_of(book, first))
    yield from then_lines(pieces_of(book, first), told)
