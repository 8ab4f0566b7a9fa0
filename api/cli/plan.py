"""The command that makes a plan from photos and writes its pictures."""

from __future__ import annotations

import sys
from dataclasses import dataclass, replace
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn

from api.cli.check import tell_picks
from api.cli.decisions import add_decisions, begun, check_mood, decided_in
from api.cli.drawings import USUAL, draw
from api.cli.light import Lighting, add_lighting, lighting
from api.cli.options import length, photo_at
from api.cli.swatches import add_swatches, shown_by_all, with_swatches
from api.cli.taking import ONE, Taking, add_taking, named, take_pieces, taking
from api.files import whole_folder
from api.photos.intake import Intake, take_in
from api.wording.english import listed, number
from api.wording.photos import bundle_warning, photo_left_out, photo_warning
from api.wording.progress import doing
from palette.bundle.result import BundleFault, BundleWarning
from palette.eyes import Eyes
from palette.photo.read import Reading

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from api.pattern.brief import Brief
    from api.pattern.plan import Plan
    from palette.bundle.pipeline import Proposal
    from placement.top.request import Doing, Stage


def add_plan(plan: argparse.ArgumentParser) -> None:
    """Describe ``spreadwell plan``."""
    add = plan.add_argument
    add("photos", nargs="*", type=Path, metavar="PHOTO", help="photos of the fabrics")
    add("--background", action="append", default=[], type=Path, metavar="PHOTO",
        help="photo of a background; the best one is used when there are several")  # fmt: skip
    add("--out", type=Path, required=True, metavar="FOLDER", help="where to write the results")
    add("--eyes", action="append", default=[], choices=[*Eyes],
        help="draw the quilt as colour-blind eyes see it, too")  # fmt: skip
    add_lighting(plan)
    add_taking(plan, length)
    add_swatches(plan)
    add_decisions(plan)


def run_plan(wish: argparse.Namespace) -> int:
    """Make a plan, write it and its pictures and print it in words; 1 if there is no layout."""
    from api.pattern.planner import further, make
    from api.wording.picks import left_out
    from api.wording.plan import summary

    console = Console(stderr=True)
    bar = Progress(BarColumn(40), TextColumn("{task.description}"), console=console, transient=True)
    with bar:
        try:
            check_mood(decided_in(wish))
            intakes, grounds = _read_all(wish, lighting(wish), bar)
            brief = _brief(wish, intakes, grounds)
        except ValueError as error:
            bar.stop()
            print(f"spreadwell: {error}", file=sys.stderr)
            return 2
        task = bar.add_task("arranging", total=1.0)
        try:

            def tell(share: float, words: Stage | Doing) -> None:
                bar.update(task, completed=share, description=doing(words))

            plan = further(make(brief, tell), tell)
        except ValueError as error:
            bar.stop()
            print(f"spreadwell: {error}", file=sys.stderr)
            return 2
        pictures = {entry.swatch.picture: entry.picture for entry in (*intakes, *grounds)}
        if intakes:
            names = (*USUAL, *(f"{eyes}.png" for eyes in wish.eyes))
            with whole_folder(wish.out) as folder:
                _write(plan, pictures, folder, bar, names)
    print("\n".join(summary(plan)))
    tell_picks(plan)
    for entry in plan.choice.left_out if plan.choice else ():
        print(f"  - {left_out(plan, entry)}")
    _print_photos(plan)
    if intakes:
        print(f"Written to {wish.out}: {', '.join(sorted(f.name for f in wish.out.iterdir()))}")
    return 0 if plan.layout else 1


def _print_photos(plan: Plan) -> None:
    """Print what was left out of the photos in use, and what may be wrong with them."""
    said: dict[str, list[str]] = {}
    for fabric in plan.choice.kept if plan.choice else ():
        told = plan.swatch(fabric).fabric
        for found in told.left_out:
            said.setdefault(f"  - {{}}: {photo_left_out(found)}", []).append(told.name)
        for warning in told.warnings:
            said.setdefault(f"  ! {{}}: {photo_warning(warning)}", []).append(told.name)
    for words, names in said.items():
        print(words.replace("{}", listed(names), 1))


@dataclass(frozen=True, slots=True)
class _Come:
    """What came of a photo."""

    path: Path
    """The photo."""
    reading: Reading | None = None
    """The one fabric in it."""
    pieces: tuple[Intake, ...] = ()
    """Several."""


def _read_all(
    wish: argparse.Namespace, lit: Lighting, bar: Progress
) -> tuple[list[Intake], list[Intake]]:
    """Read the bundle and the backgrounds; a photo given as both is a background."""
    units = decided_in(wish).get("units", "inches")
    told = taking(wish, units)
    grounds = [path.resolve() for path in wish.background]
    bundle = [path for path in wish.photos if path.resolve() not in grounds]
    task = bar.add_task("reading photos", total=len(bundle) + len(grounds))
    taken: set[str] = set()
    come = []
    for place, path in enumerate((*bundle, *wish.background)):
        come.append(_read_one(path, taken, lit, told, several=place < len(bundle)))
        bar.advance(task)
    if lit.light:
        come = _sharing(lit, told, come)
    shows = shown_by_all(wish, units)
    intakes = [
        [take_in(_coloured(told, each.path, each.reading), shows)]
        if each.reading
        else [*each.pieces]
        for each in come
    ]
    split = len(bundle)
    return [*chain(*intakes[:split])], [*chain(*intakes[split:])]


def _coloured(told: Taking, path: Path, reading: Reading) -> Reading:
    """Return what was read, in the colour that was told of the photo, if one was."""
    from palette.photo.own_colour import in_own_colour

    colour = told.colours.get(path.name)
    return in_own_colour(reading, colour) if colour else reading


def read_backgrounds(paths: Sequence[Path], taken: set[str], lit: Lighting) -> list[Intake]:
    """Read photos of one background each; a broken one is reported and the rest go on.

    Parameters
    ----------
    paths : sequence of Path
        The photos.
    taken : set of str
        Ids that are taken already; those of the backgrounds are added.
    lit : Lighting
        How photos are corrected.
    """
    come = (_read_one(path, taken, lit, Taking(), several=False) for path in paths)
    return [take_in(each.reading) for each in come if each.reading]


def _sharing(lit: Lighting, told: Taking, come: Sequence[_Come]) -> list[_Come]:
    """Read photos without paper again, by the paper of another one in the same light."""
    from palette.photo.read import read

    known = (each.reading.reference for each in come if each.reading)
    shared = next((reference for reference in known if reference), None)

    def again(each: _Come) -> _Come:
        if not shared or each.reading is None or each.reading.reference:
            return each
        fabric = each.reading.fabric
        how = lit.how(shared) | told.by_hand(each.path)
        data = photo_at(each.path)
        return replace(each, reading=read(data, id=fabric.id, name=fabric.name, **how))

    return [again(each) for each in come]


def _read_one(path: Path, taken: set[str], lit: Lighting, told: Taking, *, several: bool) -> _Come:
    """Read one photo; a broken one is reported and the rest go on."""
    try:
        return _taken(path, taken, lit, told, several=several)
    except OSError as error:
        print(f"{path}: can't be read ({error.strerror or error}); left out", file=sys.stderr)
    except ValueError as error:
        print(f"{path.name}: {error}", file=sys.stderr)
    return _Come(path)


def _taken(path: Path, taken: set[str], lit: Lighting, told: Taking, *, several: bool) -> _Come:
    from palette.bundle.arrival import arrive, with_any_card
    from palette.bundle.pipeline import propose

    data, lie = photo_at(path), told.lie(path)
    label, name = named(path, taken)
    if lie is not None:
        copy, proposal = propose(data, name, lie, card=lit.white == "auto")
        return _Come(path, pieces=_pieces(path, copy, with_any_card(proposal), taken, lit, told))
    how = lit.how() | told.by_hand(path)
    found = several and told.lies.get(path.name) != ONE
    arrival = arrive(data, id=label, name=name, several=found, **how)
    if arrival.proposal is not None:
        return _Come(path, pieces=_pieces(path, arrival.copy, arrival.proposal, taken, lit, told))
    taken.add(label)
    return _Come(path, arrival.reading)


def _pieces(
    path: Path, copy: bytes, proposal: Proposal, taken: set[str], lit: Lighting, told: Taking
) -> tuple[Intake, ...]:
    """Read several fabrics of one photo; how many, and what may be wrong, is said."""
    found = proposal.found
    print(f"{path.name}: {number(len(found.pieces), 'fabric')} found in it", file=sys.stderr)
    for warning in found.warnings:
        print(f"{path.name}: {bundle_warning(found, warning)}", file=sys.stderr)
    white = lit.white == "auto" and BundleWarning(BundleFault.CARD) in found.warnings
    return take_pieces(copy, found, taken, white=white, edge=told.edge)


def _brief(wish: argparse.Namespace, bundle: list[Intake], grounds: list[Intake]) -> Brief:
    from api.pattern.usual import usual_brief

    changes = decided_in(wish)
    units = changes.get("units", "inches")
    brief = replace(
        usual_brief(units),
        swatches=tuple(entry.swatch for entry in bundle),
        backgrounds=tuple(entry.swatch for entry in grounds),
    )
    return begun(with_swatches(brief, wish, units), changes)


def _write(
    plan: Plan, pictures: dict[str, bytes], out: Path, bar: Progress, names: Sequence[str]
) -> None:
    from api.pattern.stored import to_json

    (out / "pictures").mkdir()
    task = bar.add_task("drawing", total=1 + len(names))
    (out / "plan.json").write_bytes(to_json(plan).encode())
    for name, picture in pictures.items():
        (out / "pictures" / f"{name}.jpg").write_bytes(picture)
    bar.advance(task)
    draw(plan, pictures, out, names, each=lambda: bar.advance(task))
