"""From pixels to the colour a fabric reads as, its main colours and the scale of its print."""

from __future__ import annotations

import numpy as np
from PIL import Image

from palette.colour import Floats, light_to_lab, srgb_to_light
from palette.photo import Photo

_LIGHT = srgb_to_light(np.arange(256) / 255)


def mean_light(photo: Photo) -> Floats:
    """Give the mean light of a photo, shape (3,)."""
    counts = np.reshape(photo.pixels.histogram(photo.mask), (3, 256))
    return counts @ _LIGHT / counts.sum(axis=1)


def main_colours(photo: Photo) -> list[tuple[Floats, float]]:
    """Give Lab colours and their shares, largest first."""
    from scipy.cluster.vq import kmeans2

    small = np.asarray(photo.pixels.resize((128, 128), Image.Resampling.BOX))
    lab = light_to_lab(_LIGHT[small].reshape(-1, 3))
    centres, labels = kmeans2(lab, 4, minit="++", rng=np.random.default_rng(0))
    counts = np.bincount(labels, minlength=4)
    order = [index for index in np.argsort(-counts) if counts[index] > 0]
    return [(centres[index], float(counts[index] / counts.sum())) for index in order]
