"""Cotton: threads over and under each other, and ink soaked into them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from demo_swatches.repeat import Repeat

if TYPE_CHECKING:
    from numpy.random import Generator

Plane = NDArray[np.float32]
Yarns = Sequence[tuple[str, int]]
"""Colours of neighbouring threads in order: (hex colour, number of threads)."""

_THREADS, _STATIONS, _SPACING = 512, 256, 14.0


def linear(colour: str) -> NDArray[np.float32]:
    """Return the linear light of a hex colour, 0 to 1 (IEC 61966-2-1)."""
    code = np.array([int(colour[k : k + 2], 16) for k in (1, 3, 5)]) / 255
    return np.where(code <= 0.04045, code / 12.92, ((code + 0.055) / 1.055) ** 2.4).astype("f4")


@dataclass(frozen=True, slots=True)
class Weave:
    """How the threads lie."""

    pitch: float = 2.8
    """From one thread to the next, in pixels of the cloth."""
    relief: float = 0.42
    """How strongly the roundness of the threads shades, 0 to 1."""
    slub: float = 0.034
    """Spread of a thread's lightness and thickness along its length."""
    open: float = 0.1
    """Share of the pitch that is a gap between threads, on average."""
    wander: float = 0.16
    """How far a thread strays from its straight line, in pitches."""


FINE_COTTON = Weave()
CHAMBRAY = Weave(pitch=3.0, relief=0.45, slub=0.055)
GINGHAM = Weave(pitch=3.2, relief=0.42, slub=0.04, open=0.06)
LINEN = Weave(pitch=3.8, relief=0.5, slub=0.075, open=0.08, wander=0.3)


@dataclass(frozen=True, slots=True)
class Cloth:
    """A piece of cotton: yarns, weave and what is printed on it."""

    warp: Yarns
    """Colours of the lengthwise threads, repeating."""
    weft: Yarns
    """Colours of the crosswise threads, repeating."""
    weave: Weave = FINE_COTTON
    """How the threads lie."""
    drawing: Repeat | None = None
    """The printed drawing, if any."""
    inks: Sequence[str] = ()
    """Hex colours of inks 1, 2, ... of the drawing."""
    soak: float = 0.95
    """How well the ink covers the yarn, 0 to 1."""


def solid(colour: str, weave: Weave = FINE_COTTON) -> Cloth:
    """Return cloth of one colour."""
    return Cloth([(colour, 1)], [(colour, 1)], weave)


def printed(ground: str, inks: Sequence[str], repeat: Repeat, soak: float = 0.95) -> Cloth:
    """Return cloth of one colour with a print on it."""
    return Cloth([(ground, 1)], [(ground, 1)], FINE_COTTON, repeat, inks, soak)


class _Yarn:
    """All parallel threads of one direction: where they run, how thick, how light."""

    def __init__(self, rng: Generator, weave: Weave) -> None:
        def along(blur: float, spread: float) -> Plane:
            table = rng.normal(0, 1, (_THREADS, _STATIONS))
            table = gaussian_filter1d(table, blur, axis=1, mode="wrap")
            return (table / table.std() * spread).astype("f4")

        each = rng.normal(0, weave.slub * 0.5, (_THREADS, 1))
        self.stray = along(2.0, weave.wander)
        self.tone = np.exp(along(1.5, weave.slub * 0.7) + each).astype("f4")
        thick = 1 - weave.open + along(1.2, weave.slub * 1.6) + each * 2
        self.thick = np.clip(thick, 0.55, 1.15).astype("f4")
        self.pitch = weave.pitch

    def lie(self, across: Plane, along: Plane) -> tuple[NDArray[np.int32], Plane, Plane, Plane]:
        """Return number, signed distance from its middle (-1 to 1), tone and thickness."""
        station, share = _stations(along)
        plain = across / self.pitch
        guess = np.floor(plain).astype(np.int32)
        strayed = plain + _between(self.stray, guess // 2, station, share)
        number = np.floor(strayed).astype(np.int32)
        offset = ((strayed - number) * 2 - 1).astype("f4")
        tone = _between(self.tone, number, station, share)
        return number, offset, tone, _between(self.thick, number, station, share)


def _stations(along: Plane) -> tuple[NDArray[np.int32], Plane]:
    where = along / _SPACING
    station = np.floor(where).astype(np.int32)
    return station, (where - station).astype("f4")


def _between(table: Plane, thread: NDArray[np.int32], station: NDArray[np.int32], share: Plane):
    """Read a table of threads by stations, linearly between stations."""
    row = thread % _THREADS
    here, there = table[row, station % _STATIONS], table[row, (station + 1) % _STATIONS]
    return here + (there - here) * share


def _bulge(across: Plane, along: Plane, thick: Plane) -> Plane:
    """Return the shade of a thread on top: round across, dipping under at its ends."""
    round_ = np.sqrt(np.clip(1 - (across / thick) ** 2, 0, 1))
    return round_ * (1 - 0.35 * along**2)


def colour_of(cloth: Cloth, x: Plane, y: Plane, rng: Generator) -> NDArray[np.float32]:
    """Return the linear light that the cloth sends back at each point, shape (h, w, 3)."""
    warp, weft = _Yarn(rng, cloth.weave), _Yarn(rng, cloth.weave)
    i, across, warp_tone, warp_thick = warp.lie(x, y)
    j, down, weft_tone, weft_thick = weft.lie(y, x)
    over = ((i + j) & 1) == 0
    shade = np.where(over, _bulge(across, down, warp_thick), _bulge(down, across, weft_thick))
    tone = np.where(over, warp_tone, weft_tone)
    colour = np.where(over[..., None], _yarn_colours(cloth.warp, i), _yarn_colours(cloth.weft, j))
    if cloth.drawing is not None:
        colour = _print_on(cloth, colour, (x, y), (i, j), rng)
    relief = 1 + cloth.weave.relief * (shade / shade.mean() - 1)
    return colour * (tone * relief)[..., None].astype("f4")


def _yarn_colours(yarns: Yarns, thread: NDArray[np.int32]) -> NDArray[np.float32]:
    sequence = np.concatenate([np.tile(linear(colour), (count, 1)) for colour, count in yarns])
    return sequence[thread % len(sequence)]


def _print_on(
    cloth: Cloth,
    ground: NDArray[np.float32],
    place: tuple[Plane, Plane],
    threads: tuple[NDArray[np.int32], NDArray[np.int32]],
    rng: Generator,
) -> NDArray[np.float32]:
    """Lay the inks on: every crossing takes them a little to one side, a little less or more."""
    cell = threads[0] % 251, threads[1] % 241
    shift = rng.normal(0, 0.13 * cloth.weave.pitch, (2, 251, 241)).astype("f4")
    number = cloth.drawing.inks(place[0] + shift[0][cell], place[1] + shift[1][cell])
    take = np.clip(rng.normal(cloth.soak, 0.05, (251, 241)), 0, 1).astype("f4")[cell]
    colours = np.stack([np.zeros(3, "f4"), *(linear(ink) for ink in cloth.inks)])
    share = (take * (number > 0))[..., None]
    return ground + (colours[number] - ground) * share
