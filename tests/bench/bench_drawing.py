"""How long a 72-block quilt takes to draw, in CPU seconds of one core.

Run as ``python tests/bench/bench_drawing.py``; it prints a table. The goal is
1.5 s for a cloth picture of 2,000 pixels. The textures are made up: noise and
stripes as JPEG of 1,024 pixels, as large as a cleaned photo.
"""

from __future__ import annotations

import os
from io import BytesIO
from time import process_time
from typing import TYPE_CHECKING

for threads in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
    os.environ.setdefault(threads, "1")

import numpy as np  # noqa: E402  (after the thread count is set)
from PIL import Image  # noqa: E402

from api.drawing.contact_sheet import picks_png  # noqa: E402
from api.drawing.png import png  # noqa: E402
from api.drawing.quilt import quilt_scene  # noqa: E402
from api.drawing.svg import svg  # noqa: E402
from api.pattern.brief import DEFAULT_SETTING, Brief  # noqa: E402
from api.pattern.plan import Plan  # noqa: E402
from api.pattern.swatch import Swatch  # noqa: E402
from palette.colour import from_srgb  # noqa: E402
from palette.fabric import Fabric, Share  # noqa: E402
from palette.picking.choice import Choice  # noqa: E402
from placement.top.setting.layout import Layout  # noqa: E402

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

FABRICS = 18


def textured(seed: int) -> tuple[Swatch, bytes]:
    """Make up a fabric and its picture."""
    rng = np.random.default_rng(seed)
    ink = rng.integers(40, 220, 3)
    stripes = 30 * np.sin(np.arange(1024) / (3 + seed))[None, :, None]
    noise = rng.normal(0, 18, (1024, 1024, 1))
    pixels = np.clip(ink + stripes + noise, 0, 255).astype(np.uint8)
    out = BytesIO()
    Image.fromarray(pixels).save(out, "JPEG", quality=90)
    lab = from_srgb(*map(int, ink))
    fabric = Fabric(f"fabric-{seed}", f"Fabric {seed}", lab, (Share(lab, 1.0),))
    return Swatch(fabric, f"picture-{seed}"), out.getvalue()


def bundle() -> tuple[Plan, dict[str, bytes]]:
    """Make a plan of 72 blocks on point in 18 fabrics, and its pictures."""
    made = [textured(seed) for seed in range(FABRICS + 1)]
    *swatches, ground = (swatch for swatch, _ in made)
    names = [swatch.fabric.id for swatch in swatches]
    count = len(DEFAULT_SETTING.cells())
    layout = Layout(DEFAULT_SETTING, tuple(names[index % FABRICS] for index in range(count)))
    choice = Choice(tuple(names), (), None, None, proved=False)
    brief = Brief(swatches=tuple(swatches), backgrounds=(ground,))
    plan = Plan(brief, ground.fabric.id, (), choice, layout, None)
    return plan, {swatch.picture: picture for swatch, picture in made}


def timed(work: Callable[[], object]) -> tuple[float, object]:
    """Return the least CPU time of three runs, and what came out."""
    times = []
    for _ in range(3):
        start = process_time()
        result = work()
        times.append(process_time() - start)
    return min(times), result


def rows() -> Iterator[tuple[str, float, int]]:
    """Measure every drawing: its name, seconds, and bytes (pieces, for the scene)."""
    plan, pictures = bundle()
    scene = quilt_scene(plan)
    yield "scene (pieces)", timed(lambda: quilt_scene(plan))[0], len(scene.pieces)
    for view in ("cloth", "flat", "grey"):
        seconds, data = timed(lambda view=view: png(scene, pictures, view, 2000))  # type: ignore[misc]
        assert isinstance(data, bytes)
        yield f"{view}.png, 2000 px", seconds, len(data)
        seconds, text = timed(lambda view=view: svg(scene, pictures, view))  # type: ignore[misc]
        assert isinstance(text, str)
        yield f"{view}.svg", seconds, len(text)
    seconds, data = timed(lambda: picks_png(plan, pictures))
    assert isinstance(data, bytes)
    yield "picks.png", seconds, len(data)


if __name__ == "__main__":
    print(f"{'72 blocks, 18 fabrics':<24}{'CPU s':>8}{'bytes':>12}")
    for name, seconds, size in rows():
        print(f"{name:<24}{seconds:>8.3f}{size:>12,}")
