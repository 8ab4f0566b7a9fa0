"""The command that makes a plan from photos and writes its pictures."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn

from api.cli.bundle import add_bundle, unpack
from api.cli.light import Lighting, add_lighting, lighting
from api.cli.options import (
    USUAL,
    add_block,
    add_sashing,
    border,
    borders,
    length,
    own_block,
    sashed,
    share,
    whole,
)
from api.pattern.edits import new_id
from api.photos.intake import spoken_name, take_in
from api.wording.english import listed
from placement.top.request import STYLES
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from api.pattern.brief import Brief
    from api.pattern.plan import Plan
    from api.pattern.sewing import Units
    from api.photos.intake import Intake
    from palette.photo.read import Reading


def add_plan(plan: argparse.ArgumentParser) -> None:
    """Describe ``spreadwell plan``."""
    add = plan.add_argument
    add("photos", nargs="*", type=Path, metavar="PHOTO", help="photos of the fabrics")
    add("--background", action="append", default=[], type=Path, metavar="PHOTO",
        help="photo of a background; the best one is used when there are several")  # fmt: skip
    add("--pick", type=whole, metavar="N", help="how many fabrics to use (all that stand out)")
    add("--across", type=whole, default=6, metavar="A", help="blocks across (%(default)s)")
    add("--down", type=whole, default=7, metavar="B", help="blocks down (%(default)s)")
    add("--straight", action="store_true", help="straight rows instead of on point")
    add("--alternate", action="store_true", help="every other block plain background")
    add_sashing(plan)
    add("--sashing-fabric", default="", metavar="FABRIC",
        help="the sashing's fabric by its id, the photo's name in small letters such as "
        "quince-dots (the background)")  # fmt: skip
    add("--cornerstone-fabric", default="", metavar="FABRIC",
        help="the cornerstones' fabric (the sashing's)")  # fmt: skip
    add("--block", type=length, metavar="INCHES",
        help="finished size of a block, such as 8.5 or '220 mm' "
        "(8 1/2; 220 mm in metric work)")  # fmt: skip
    add_block(plan)
    add("--border", action="append", type=border, metavar="INCHES[=FABRIC]",
        help="finished width of a border and the id of its fabric, such as '4 1/2=moss'; give it "
        "several times, from the centre outward; 0 for none (4 of the background; 100 mm in "
        "metric work)")  # fmt: skip
    uses = {
        "binding": "the binding (the outermost border's)",
        "backing": "the backing (to be bought)",
        "second": "every second feature of the block (the block's own)",
    }
    for name, use in uses.items():
        add(f"--{name}-fabric", default="", metavar="FABRIC", help=f"id of the fabric of {use}")
    add("--style", choices=STYLES, default="scattered", help="arranging rule (%(default)s)")
    add("--apart", type=share, default=0.5, metavar="SHARE",
        help="how much side-by-side blocks must differ, as a share of the furthest reachable: "
        "0.5 spreads colours best, 1 puts contrast first (%(default)s)")  # fmt: skip
    add("--shows", type=length, metavar="INCHES",
        help="width of cloth a photo shows (taken as 10 unless given)")  # fmt: skip
    add(
        "--metric",
        action="store_true",
        help="lengths in centimetres, and what metric work does for what is not given",
    )
    add("--title", default="Untitled quilt", help="name of the pattern")
    add("--seed", type=int, default=1, metavar="K", help="another number, another layout (1)")
    add("--out", type=Path, required=True, metavar="FOLDER", help="where to write the results")
    add_lighting(plan)
    add_bundle(plan, whole, length)


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
                brief, lambda share, words: bar.update(task, completed=share, description=words)
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
        for warning in swatch.warnings:
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
    told = [reading and take_in(reading, wish.shows) for reading in read]
    pieces = _unpacked(wish, taken)
    return [*pieces, *(e for e in told[:split] if e)], [e for e in told[split:] if e]


def _sharing(
    lit: Lighting, paths: Sequence[Path], read: Sequence[Reading | None]
) -> list[Reading | None]:
    """Read photos without paper again, by the paper of another one in the same light."""
    shared = next((reading.reference for reading in read if reading and reading.reference), None)
    return [
        lit.read(path.read_bytes(), reading.fabric.id, reading.fabric.name, shared)
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
        reading = lit.read(path.read_bytes(), label, name)
    except OSError as error:
        print(f"{path}: can't be read ({error.strerror or error}); left out", file=sys.stderr)
        return None
    except ValueError as error:
        print(f"{path.name}: {error}", file=sys.stderr)
        return None
    taken.add(label)
    return reading


def _named(given: str, option: str, entries: Sequence[Intake]) -> str:
    """Return the id that an option names; ValueError lists the ids there are."""
    ids = [entry.swatch.fabric.id for entry in entries]
    if given and given not in ids:
        raise ValueError(f"there is no fabric {given!r} for {option}; choose {', '.join(ids)}")
    return given


def _brief(wish: argparse.Namespace, bundle: list[Intake], grounds: list[Intake]) -> Brief:
    from api.pattern.brief import Brief
    from api.pattern.sewing import Sewing

    units: Units = "metric" if wish.metric else "inches"
    return Brief(
        title=wish.title,
        swatches=tuple(entry.swatch for entry in bundle),
        backgrounds=tuple(entry.swatch for entry in grounds),
        count=wish.pick,
        setting=sashed(
            Setting(
                "straight" if wish.straight else "on point",
                wish.across,
                wish.down,
                wish.block or USUAL[units]["block"],
                wish.alternate,
            ),
            wish,
        ),
        sashing_fabric=_named(wish.sashing_fabric, "--sashing-fabric", (*bundle, *grounds)),
        cornerstone_fabric=_named(
            wish.cornerstone_fabric, "--cornerstone-fabric", (*bundle, *grounds)
        ),
        block=wish.pattern,
        own_block=own_block(wish),
        borders=borders(wish.border, units),
        binding_fabric=wish.binding_fabric,
        backing_fabric=wish.backing_fabric,
        second_fabric=wish.second_fabric,
        style=wish.style,
        apart=wish.apart,
        seed=wish.seed,
        sewing=Sewing().in_units(units),
        units=units,
    )


def _write(plan: Plan, pictures: dict[str, bytes], out: Path, bar: Progress) -> None:
    from api.drawing.contact_sheet import picks_png
    from api.drawing.png import png
    from api.drawing.quilt import quilt_scene
    from api.drawing.svg import svg
    from api.pattern.stored import to_json

    out.mkdir(parents=True, exist_ok=True)
    task = bar.add_task("drawing", total=5)
    (out / "plan.json").write_text(to_json(plan), encoding="utf-8")
    (out / "pictures").mkdir(exist_ok=True)
    for name, picture in pictures.items():
        (out / "pictures" / f"{name}.jpg").write_bytes(picture)
    bar.advance(task)
    (out / "picks.png").write_bytes(picks_png(plan, pictures))
    bar.advance(task)
    if plan.layout is None:
        return
    scene = quilt_scene(plan)
    (out / "layout.svg").write_text(svg(scene, pictures, "cloth"), encoding="utf-8")
    bar.advance(task)
    for name, view in (("layout.png", "cloth"), ("grey.png", "grey")):
        (out / name).write_bytes(png(scene, pictures, view))
        bar.advance(task)
