"""Sizes to cut: closed forms, exact, with the trade's rules of thumb beside them.

All lengths are plain floats in one unit of your choice (inches here, but
millimetres work as well, since every form is linear in F and q): F is the
finished size, q the seam allowance, and each function returns the size to cut
before rounding. Derived by offsetting each seam line by q; the rules of thumb
are those printed in quilters' handbooks for q = 1/4 in.
"""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor, sqrt

from placement.inches import MM_PER_INCH, Inches

ROOT2 = sqrt(2)
EIGHTH = Inches(Fraction(1, 8))
"""Cut sizes in inches are rounded up to this."""
FIVE_MM = Inches(5 / MM_PER_INCH)
"""Cut sizes in metric work are rounded up to this."""
NOISE = 1e-9
"""Binary noise forgiven when rounding: 6 x sqrt 2 x sqrt 2 is 12.000000000000002."""


def round_up(exact: float, step: Inches = EIGHTH) -> Inches:
    """Return the least multiple of ``step`` that is not below ``exact`` inches."""
    return Inches(step.value * max(0, ceil(exact / float(step) - NOISE)))


def round_down(exact: float, step: Inches = EIGHTH) -> Inches:
    """Return the largest multiple of ``step`` that is not above ``exact`` inches."""
    return Inches(step.value * max(0, floor(exact / float(step) + NOISE)))


def whole(finished: float, seam: float) -> float:
    """Return the side of a square or rectangle: F + 2q."""
    return finished + 2 * seam


def half_square(finished: float, seam: float) -> float:
    """Return the square cut once for two half-square triangles: F + q(2 + sqrt 2).

    The same square, two of them face to face, makes two units at a time. Rule
    of thumb at q = 1/4 in: F + 7/8.
    """
    return finished + seam * (2 + ROOT2)


def quarter_square(finished: float, seam: float) -> float:
    """Return the square cut twice for triangles with F on the long side: F + 2q(1 + sqrt 2).

    Rule of thumb at q = 1/4 in: F + 1 1/4.
    """
    return finished + 2 * seam * (1 + ROOT2)


def eight_at_a_time(finished: float, seam: float) -> float:
    """Return the square for eight half-square units: 2F + 2q(2 + sqrt 2); rule 2F + 1 3/4."""
    return 2 * half_square(finished, seam)


def four_at_a_time(finished: float, seam: float) -> float:
    """Return the square for four half-square units sewn all round: sqrt 2 (F + 2q) + 2q.

    The four units have bias edges.
    """
    return ROOT2 * whole(finished, seam) + 2 * seam


def geese_large(width: float, seam: float) -> float:
    """Return the one large square for four flying geese without waste: w + 2q(1 + sqrt 2)."""
    return quarter_square(width, seam)


def geese_small(width: float, seam: float) -> float:
    """Return the four small squares for four flying geese without waste: w/2 + q(2 + sqrt 2)."""
    return half_square(width / 2, seam)


def side_square(block: float, seam: float) -> float:
    """Return the square cut twice for four side setting triangles: F sqrt 2 + 2q(1 + sqrt 2).

    Cut twice puts the straight grain on the long side, the quilt's edge.
    """
    return quarter_square(block * ROOT2, seam)


def corner_square(block: float, seam: float) -> float:
    """Return the square cut once for two corner triangles: F / sqrt 2 + q(2 + sqrt 2).

    Cut once puts the straight grain on the short sides, the corner's two edges.
    """
    return half_square(block / ROOT2, seam)


def side_rule(block: float) -> float:
    """Return the rule of thumb for the side square in inches at q = 1/4: 1.414 F + 1 1/4."""
    return 1.414 * block + 1.25


def corner_rule(block: float) -> float:
    """Return the rule of thumb for the corner square in inches at q = 1/4: F / 1.414 + 7/8."""
    return block / 1.414 + 0.875


def largest_block(side: float, seam: float) -> float:
    """Return the largest finished block that side triangles from a ``side`` square serve."""
    return (side - 2 * seam * (1 + ROOT2)) / ROOT2


def point_loss(cut: float, exact: float) -> float:
    """Return how far a setting square of size ``cut`` draws the quilt's edge over the points.

    Positive: block points are blunted by so much; negative: they stand clear of
    the edge by so much. Half the difference, for squares cut once and twice.
    """
    return (exact - cut) / 2
