"""The command that makes a plan from photos and writes its pictures."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn

from api.cli.bundle import add_bundle, unpack
from api.cli.decisions import add_decisions, applied, decided_in
from api.cli.drawings import draw
from api.cli.light import Lighting, add_lighting, lighting
from api.cli.options import length, photo_at, whole
from api.cli.swatches import add_swatches, shown_by_all, with_swatches
from api.files import write_whole
from api.pattern.edits import new_id
from api.photos.intake import spoken_name, take_in
from api.wording.english import listed
from api.wording.photos import photo_warning
from api.wording.progress import doing

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from api.pattern.brief import Brief
    from api.pattern.plan import Plan
    from api.photos.intake import Intake
    from palette.photo.read import Reading


def add_plan(plan: argparse.ArgumentParser) -> None:
    """Describe ``spreadwell plan``."""
    add = plan.add_argument
    add("photos", nargs="*", type=Path, metavar="PHOTO", help="photos of the fabrics")
    add("--background", action="append", default=[], type=Path, metavar="PHOTO",
        help="photo of a background; the best one is used when there are several")  # fmt: skip
    add("--out", type=Path, required=True, metavar="FOLDER", help="where to write the results")
    add_lighting(plan)
    add_bundle(plan, whole, length)
    add_swatches(plan)
    add_decisions(plan)


def run_plan(wish: argparse.Namespace) -> int:
    """Make a plan, write it and its pictures and print it in words; 1 if there is no layout."""
    from api.pattern.planner import make
    from api.wording.picks import left_out
    from api.wording.plan import summary

    console = Console(stderr=True)
    bar = Progress(BarColumn(40), TextColumn("{task.description}"), console=console, transient=True)
    with bar:
        try:
            intakes, grounds = _read_all(wish, lighting(wish), bar)
            brief = _brief(wish, intakes, grounds)
        except ValueError as error:
            bar.stop()
            print(f"spreadwell: {error}", file=sys.stderr)
            return 2
        task = bar.add_task("arranging", total=1.0)
        try:
            plan = make(
                brief,
                lambda share, words: bar.update(task, completed=share, description=doing(words)),
            )
        except ValueError as error:
            bar.stop()
            print(f"spreadwell: {error}", file=sys.stderr)
            return 2
        pictures = {entry.swatch.picture: entry.picture for entry in (*intakes, *grounds)}
        if intakes:
            _write(plan, pictures, wish.out, bar)
    print("\n".join(summary(plan)))
    for entry in plan.choice.left_out if plan.choice else ():
        print(f"  - {left_out(plan, entry)}")
    warned: dict[str, list[str]] = {}
    for fabric in plan.choice.kept if plan.choice else ():
        swatch = plan.swatch(fabric).fabric
        for warning in map(photo_warning, swatch.warnings):
            warned.setdefault(warning, []).append(swatch.name)
    for warning, names in warned.items():
        print(f"  ! {listed(names)}: {warning}")
    if intakes:
        print(f"Written to {wish.out}: {', '.join(sorted(f.name for f in wish.out.iterdir()))}")
    return 0 if plan.layout else 1


def _read_all(
    wish: argparse.Namespace, lit: Lighting, bar: Progress
) -> tuple[list[Intake], list[Intake]]:
    """Read the bundle and the backgrounds; a photo given as both is a background."""
    grounds = [path.resolve() for path in wish.background]
    bundle = [path for path in wish.photos if path.resolve() not in grounds]
    task = bar.add_task("reading photos", total=len(bundle) + len(grounds))
    taken: set[str] = set()
    read = []
    for path in (*bundle, *wish.background):
        read.append(_read_one(path, taken, lit))
        bar.advance(task)
    if lit.light:
        read = _sharing(lit, (*bundle, *wish.background), read)
    split = len(bundle)
    shows = shown_by_all(wish)
    told = [reading and take_in(reading, shows) for reading in read]
    pieces = _unpacked(wish, taken)
    return [*pieces, *(e for e in told[:split] if e)], [e for e in told[split:] if e]


def _sharing(
    lit: Lighting, paths: Sequence[Path], read: Sequence[Reading | None]
) -> list[Reading | None]:
    """Read photos without paper again, by the paper of another one in the same light."""
    shared = next((reading.reference for reading in read if reading and reading.reference), None)
    return [
        lit.read(photo_at(path), reading.fabric.id, reading.fabric.name, shared)
        if shared and reading and reading.reference is None
        else reading
        for path, reading in zip(paths, read, strict=True)
    ]


def _unpacked(wish: argparse.Namespace, taken: set[str]) -> list[Intake]:
    """Read the photo of a whole bundle, if there is one; what may be wrong is told."""
    if wish.bundle is None:
        return []
    try:
        found = unpack(wish, taken)
    except OSError as error:
        print(f"{wish.bundle}: can't be read ({error.strerror or error})", file=sys.stderr)
        return []
    except ValueError as error:
        print(f"{wish.bundle.name}: {error}", file=sys.stderr)
        return []
    for words in found.warnings:
        print(f"{wish.bundle.name}: {words}", file=sys.stderr)
    return list(found.intakes)


def _read_one(path: Path, taken: set[str], lit: Lighting) -> Reading | None:
    """Read one photo; a broken one is reported and the rest go on."""
    name = spoken_name(path.name)
    label = new_id(name, taken)
    try:
        reading = lit.read(photo_at(path), label, name)
    except OSError as error:
        print(f"{path}: can't be read ({error.strerror or error}); left out", file=sys.stderr)
        return None
    except ValueError as error:
        print(f"{path.name}: {error}", file=sys.stderr)
        return None
    taken.add(label)
    return reading


def _brief(wish: argparse.Namespace, bundle: list[Intake], grounds: list[Intake]) -> Brief:
    from api.pattern.brief import usual_brief

    changes = decided_in(wish)
    brief = replace(
        usual_brief(changes.get("units", "inches")),
        swatches=tuple(entry.swatch for entry in bundle),
        backgrounds=tuple(entry.swatch for entry in grounds),
    )
    return applied(with_swatches(brief, wish), changes)


def _write(plan: Plan, pictures: dict[str, bytes], out: Path, bar: Progress) -> None:
    from api.pattern.stored import to_json

    out.mkdir(parents=True, exist_ok=True)
    (out / "pictures").mkdir(exist_ok=True)
    task = bar.add_task("drawing", total=5)
    write_whole(out / "plan.json", to_json(plan).encode())
    for name, picture in pictures.items():
        (out / "pictures" / f"{name}.jpg").write_bytes(picture)
    bar.advance(task)
    draw(plan, pictures, out, each=lambda: bar.advance(task))
