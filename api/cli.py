"""The command line: serve the page, or make a plan from a folder of photos."""

from __future__ import annotations

import argparse
import os
import socket
import sys
import threading
import time
import webbrowser
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn

from api.intake import new_id, spoken_name, take_in
from api.lighting import Lighting, add_lighting, lighting
from api.unpack import add_bundle, unpack
from api.version import program_version
from placement.block import block_names
from placement.inches import Inches
from placement.top.request import STYLES
from placement.top.setting import Setting

if TYPE_CHECKING:
    from api.intake import Intake
    from api.plan import Brief, Plan
    from palette.read import Reading

_EPILOG = """\
examples:
  spreadwell                        open the page with the finished sample
  spreadwell plan fabrics/*.jpg --background linen.jpg --pick 18 --out quilt
  spreadwell plan --bundle table.jpg --kind grid --rows 4 --columns 5 --edge 10 --out quilt
"""


class _Parser(argparse.ArgumentParser):
    """Answers a wrong call with one clear sentence and where to read on."""

    def error(self, message: str) -> NoReturn:
        self.exit(2, f"{self.prog}: {message}\nTry '{self.prog} --help'.\n")


def _length(text: str) -> Inches:
    try:
        return Inches.parse(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from None


def _whole(text: str) -> int:
    try:
        number = int(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a whole number") from None
    if number < 1:
        raise argparse.ArgumentTypeError(f"must be 1 or more, not {number}")
    return number


def _share(text: str) -> float:
    try:
        number = float(text)
    except ValueError:
        number = -1.0
    if not 0 <= number <= 1:
        raise argparse.ArgumentTypeError(f"must be a number between 0 and 1, not {text}")
    return number


def parser() -> argparse.ArgumentParser:
    """Return the parser of the whole command line."""
    top = _Parser(
        prog="spreadwell",
        description="From photos of your fabrics to a quilt layout whose neighbours differ.",
        epilog=_EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    top.add_argument("--version", action="version", version=f"spreadwell {program_version()}")
    _add_serving(top)
    commands = top.add_subparsers(dest="command", parser_class=_Parser, metavar="plan")
    plan = commands.add_parser("plan", help="make a plan from photos and write its pictures")
    _add_plan(plan)
    return top


def _add_serving(top: argparse.ArgumentParser) -> None:
    top.add_argument("--host", default="127.0.0.1", help="address to serve on (%(default)s)")
    top.add_argument("--port", type=_whole, default=8017, help="port to serve on (%(default)s)")
    top.add_argument("--data", type=Path, help="file that keeps your plans")
    top.add_argument("--no-open", action="store_true", help="do not open the page in a browser")


def _add_plan(plan: argparse.ArgumentParser) -> None:
    add = plan.add_argument
    add("photos", nargs="*", type=Path, metavar="PHOTO", help="photos of the fabrics")
    add("--background", action="append", default=[], type=Path, metavar="PHOTO",
        help="photo of a background; the best one is used when there are several")  # fmt: skip
    add("--pick", type=_whole, metavar="N", help="how many fabrics to use (all that stand out)")
    add("--across", type=_whole, default=6, metavar="A", help="blocks across (%(default)s)")
    add("--down", type=_whole, default=7, metavar="B", help="blocks down (%(default)s)")
    add("--straight", action="store_true", help="straight rows instead of on point")
    add("--alternate", action="store_true", help="every other block plain background")
    add("--block", type=_length, default=Inches.parse("8 1/2"), metavar="INCHES",
        help="finished size of a block, such as 8.5 or '215 mm' (%(default)s)")  # fmt: skip
    add("--pattern", choices=block_names(), default="sawtooth-star", help="block (%(default)s)")
    add("--border", type=_length, default=Inches.parse(4), metavar="INCHES",
        help="finished width of the border, 0 for none (%(default)s)")  # fmt: skip
    add("--style", choices=STYLES, default="scattered", help="arranging rule (%(default)s)")
    add("--apart", type=_share, default=0.5, metavar="SHARE",
        help="how much side-by-side blocks must differ, as a share of the furthest reachable: "
        "0.5 spreads colours best, 1 puts contrast first (%(default)s)")  # fmt: skip
    add("--shows", type=_length, metavar="INCHES",
        help="width of cloth a photo shows (taken as 10 unless given)")  # fmt: skip
    add("--metric", action="store_true", help="show lengths in centimetres")
    add("--title", default="Untitled quilt", help="name of the pattern")
    add("--seed", type=int, default=1, metavar="K", help="another number, another layout (1)")
    add("--out", type=Path, required=True, metavar="FOLDER", help="where to write the results")
    add_lighting(plan)
    add_bundle(plan, _whole, _length)


def main(argv: Sequence[str] | None = None) -> int:
    """Run the program; return its exit status (0 done, 1 no plan, 2 a wrong call)."""
    top = parser()
    wish = top.parse_args(argv)
    if wish.command == "plan" and not (wish.photos or wish.bundle):
        top.error("there are no photos; name photos of the fabrics, or one of all with --bundle")
    try:
        return _make(wish) if wish.command == "plan" else _serve(wish)
    except OSError as error:
        print(f"spreadwell: {error.filename}: {error.strerror}", file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        print("Stopped.", file=sys.stderr)
        return 130


def _serve(wish: argparse.Namespace) -> int:
    from api.app import serve
    from api.database import StoreError

    fault = _cannot_listen(wish.host, wish.port)
    if fault:
        print(
            f"spreadwell: can't serve on {wish.host}, port {wish.port}: {fault}; "
            "is it running already? Otherwise choose another with --port",
            file=sys.stderr,
        )
        return 2
    where = f"http://{wish.host}:{wish.port}/"
    print(f"Spreadwell is at {where} (stop it with Ctrl+C)", flush=True)
    if not wish.no_open:
        threading.Thread(target=_open, args=(wish.host, wish.port, where), daemon=True).start()
    try:
        serve(wish.host, wish.port, wish.data or _default_store())
    except StoreError as error:
        print(f"spreadwell: {error}", file=sys.stderr)
        return 2
    return 0


def _cannot_listen(host: str, port: int) -> str:
    """Return why nothing can be served there, in the system's words; '' if it can."""
    try:
        with socket.create_server((host, port)):
            return ""
    except OSError as error:
        return error.strerror or str(error)
    except OverflowError:
        return "ports go up to 65535"


def _open(host: str, port: int, where: str) -> None:
    """Open the page in a browser as soon as the server answers."""
    for _ in range(100):
        try:
            socket.create_connection((host, port), timeout=1).close()
        except OSError:
            time.sleep(0.1)
        else:
            webbrowser.open(where)
            return


def _default_store() -> Path:
    """Return the file that keeps plans, in the place the XDG base directory standard names."""
    base = Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")
    folder = base / "spreadwell"
    folder.mkdir(parents=True, exist_ok=True)
    return folder / "plans.sqlite3"


def _make(wish: argparse.Namespace) -> int:
    from api.planner import make
    from api.summary import summary

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
        plan = make(
            brief, lambda share, words: bar.update(task, completed=share, description=words)
        )
        pictures = {entry.swatch.picture: entry.picture for entry in (*intakes, *grounds)}
        if intakes:
            _write(plan, pictures, wish.out, bar)
    print("\n".join(summary(plan)))
    for entry in plan.choice.left_out if plan.choice else ():
        print(f"  - {entry.sentence}")
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


def _brief(wish: argparse.Namespace, bundle: list[Intake], grounds: list[Intake]) -> Brief:
    from api.plan import Brief

    return Brief(
        title=wish.title,
        swatches=tuple(entry.swatch for entry in bundle),
        backgrounds=tuple(entry.swatch for entry in grounds),
        count=wish.pick,
        setting=Setting(
            "straight" if wish.straight else "on point",
            wish.across,
            wish.down,
            wish.block,
            wish.alternate,
        ),
        block=wish.pattern,
        border=wish.border,
        style=wish.style,
        apart=wish.apart,
        seed=wish.seed,
        units="metric" if wish.metric else "inches",
    )


def _write(plan: Plan, pictures: dict[str, bytes], out: Path, bar: Progress) -> None:
    from api.drawing.picks import picks_png
    from api.drawing.png import png
    from api.drawing.quilt import quilt_scene
    from api.drawing.svg import svg
    from api.planner import to_json

    out.mkdir(parents=True, exist_ok=True)
    task = bar.add_task("drawing", total=5)
    (out / "plan.json").write_text(to_json(plan), encoding="utf-8")
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
