"""How often a photo is rightly told to show one fabric or several, and what that costs.

Photos of one fabric: pictures that show nothing but cloth, and photos of one cloth on a table
made of them. Photos of several: made-up ones with gaps (see scenes) on tables of the family
that nothing was tuned on, from seeds that were not looked at.

Run: python tests/bench/bench_arrival.py FOLDER [photos of each made-up kind]; the folder has
photos/cloth and fabrics.
"""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from palette.bundle.arrival import arrive
from palette.bundle.several import may_be_several
from palette.photo.open import open_photo
from tests.bench import scenes, tables
from tests.bench.phone_photos import phone_photos

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

SEED = 5000
"""The first of the made-up photos."""


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("count", type=int, nargs="?", default=40)
    wish = parser.parse_args()
    cloths = sorted((wish.folder / "photos" / "cloth").glob("*.jpg"))
    fabrics = sorted(path for path in (wish.folder / "fabrics").iterdir() if path.suffix != ".csv")
    _told("garments", ((path.name, path.read_bytes()) for path in cloths))
    _told("swatches", ((path.name, path.read_bytes()) for path in fabrics))
    plain = [path for path in fabrics if not path.name.startswith("camera")]
    made = phone_photos(cloths + plain, wish.count, seed=SEED)
    _told("one cloth on a table", ((photo.source, photo.jpeg) for photo in made))
    _told("several with gaps", _bundles(wish.count))


def _bundles(count: int) -> Iterator[tuple[str, bytes]]:
    for seed in range(SEED, SEED + count):
        made = scenes.scene("spread", seed, tables.TESTING)
        yield f"{made.count} on {made.table}, {seed}", made.jpeg


def _told(title: str, photos: Iterable[tuple[str, bytes]]) -> None:
    several, names, one, glances = [], 0, [], []
    for name, data in photos:
        names += 1
        photo = open_photo(data, name)
        start = time.process_time()
        may_be_several(photo)
        glances.append(time.process_time() - start)
        (one if arrive(data, id="a", name=name).proposal is None else several).append(name)
    glance = 1000 * sum(glances) / len(glances)
    print(f"{title}: {len(several)} of {names} told to be several; a glance takes {glance:.1f} ms")
    odd = several if len(several) < len(one) else one
    for name in odd:
        print(f"    otherwise: {name}")


if __name__ == "__main__":
    main()
