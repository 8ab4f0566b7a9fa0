"""What photos leave open, and what to do about it."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from palette.uncertainty import Doubt

_LOOK = "Look at the cloth."
_TOGETHER = "Photograph the two together, with white paper, to be surer."


def too_close(doubt: Doubt, truly: str) -> str:
    """Say that photos leave something open, and what to do.

    Parameters
    ----------
    doubt : Doubt
        How likely it is.
    truly : str
        What may truly be so, as 'of 10 pairs some 4 truly ...' goes on.

    Examples
    --------
    >>> from palette.uncertainty import Doubt
    >>> too_close(Doubt(0.43, together=True), 'sink')
    'Too close to tell from these photos: of 10 such pairs some 4 truly sink. Look at the cloth.'
    """
    return (
        f"Too close to tell from these photos: of 10 such pairs some {round(10 * doubt.chance)} "
        f"truly {truly}. {_LOOK if doubt.together else _TOGETHER}"
    )
