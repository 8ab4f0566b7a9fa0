"""How colours look to colour-blind eyes.

The model is that of Machado, Oliveira, Fernandes 2009 ('A Physiologically-based Model for
Simulation of Color Vision Deficiency', IEEE TVCG 15/6), at full severity: a matrix on linear
light for each kind. About one man in twelve and one woman in two hundred see red and green
with less difference (protan, deutan); few see blue and yellow so (tritan).
"""

from __future__ import annotations

from enum import StrEnum

import numpy as np

from palette.colour import Floats, lab_to_light, light_to_lab


class Eyes(StrEnum):
    """Which of the three kinds of cones is missing: for long, middle or short waves."""

    PROTAN = "protan"
    DEUTAN = "deutan"
    TRITAN = "tritan"


_MATRICES = {
    Eyes.PROTAN: (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    Eyes.DEUTAN: (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    Eyes.TRITAN: (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}
"""Of the paper's table, severity 1.0."""


def seen_by(lab: Floats, eyes: Eyes) -> Floats:
    """Return what colours look like to such eyes, as Lab of any shape (..., 3)."""
    light = np.maximum(lab_to_light(lab), 0.0) @ np.array(_MATRICES[eyes]).T
    return light_to_lab(np.maximum(light, 0.0))
