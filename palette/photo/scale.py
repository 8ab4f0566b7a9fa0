"""How closely to look at a photo: as closely as its print needs, and no closer.

Seen too coarsely a fine print is a blur of its colours; seen too closely a
cloth is a heap of threads, and noise is strong.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from palette.photo.open import Photo, inside, middle, reduced

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from palette.colour import Floats

_WORKING_SIDE = 256
"""Longer side of the pixels looked at."""
_LAGS = ((3,), (6, 8), (12, 16), (24, 32))
"""Distances in pixels, by octave, that tell the scale of a print."""
_LINES = 100
"""Rows and columns looked at for that, along the longer side."""
_PRINT_OVER_GRAIN = 0.15
"""Least climb of the variogram, part of its first value, that is a print and not grain."""
_GRAINY = 0.3
"""Share of all spread that is grain, from which on threads are averaged."""


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """A photo at a scale that suits its print."""

    photo: Photo
    """The pixels to work on."""
    times: int
    """How many times smaller they are."""
    grainy: bool
    """Whether threads show as strongly as the print does."""


def at_working_scale(photo: Photo) -> View:
    """Shrink the inside of a photo until the features of its print are some 4 to 12 pixels wide.

    Edges then are thin and noise is low. What is left of a fine print is cut
    down to its middle, so the work stays the same.
    """
    left, top, right, bottom = edges = inside(photo)
    coarsest = max(1, round(max(right - left, bottom - top) / _WORKING_SIDE))
    if photo.mask is not None:
        return View(reduced(photo, coarsest), coarsest, grainy=False)
    grey = np.asarray(photo.pixels.convert("L"))[top:bottom, left:right]
    spread = _spread(grey.astype(np.float32))
    times = min(coarsest, _times(spread))
    grainy = times > 1 and spread[0] > _GRAINY * spread[-1]
    return View(middle(reduced(photo, times, edges), _WORKING_SIDE), times, bool(grainy))


def _spread(grey: NDArray[np.float32]) -> Floats:
    """Largest mean square difference of grey between pixels up to each octave of _LAGS apart.

    The sum of both directions (variogram). Two lags an octave, lest both fall
    on the period of a print.
    """
    step = max(1, round(max(grey.shape) / _LINES))
    across, down = grey[::step], np.ascontiguousarray(grey[:, ::step].T)
    octaves = [max(_apart(across, lag) + _apart(down, lag) for lag in lags) for lags in _LAGS]
    return np.maximum.accumulate(np.array(octaves))


def _apart(lines: NDArray[np.float32], lag: int) -> float:
    lag = min(lag, lines.shape[1] - 1)
    return float(np.square(lines[:, lag:] - lines[:, :-lag]).mean())


def _times(spread: Floats) -> int:
    """Choose how many times smaller to look at a photo.

    The spread climbs with distance up to the width of a feature. The octave in
    which it climbs most tells the scale of the print. What is done climbing at
    the shortest distance is grain, threads and noise: look as coarsely as may be.
    """
    climb = np.diff(spread)
    print_shows = climb.max() >= _PRINT_OVER_GRAIN * spread[0]
    return 1 << (int(climb.argmax()) if print_shows else len(climb))
