"""Verdicts and choices: the values that contrast and pick hand out."""

from __future__ import annotations

from dataclasses import dataclass, fields
from enum import StrEnum

from palette.uncertainty import Doubt


class Verdict(StrEnum):
    """How a fabric stands against a background, best first.

    clear: seen at once; soft: seen, but weakly; camouflage: much of its own area
    is as good as the background; lost: the whole fabric sinks.
    """

    CLEAR = "clear"
    SOFT = "soft"
    CAMOUFLAGE = "camouflage"
    LOST = "lost"


FAILED = (Verdict.LOST, Verdict.CAMOUFLAGE)
"""Verdicts under which a fabric is not used."""


class Reason(StrEnum):
    """Why a fabric is not among the chosen ones."""

    BY_HAND = "left out by hand"
    TWIN = "twin"
    LOST = "lost"
    CAMOUFLAGE = "camouflage"
    NOT_NEEDED = "not needed"
    FARTHER = "farther"


class WhyKept(StrEnum):
    """Why the other one of two near-twins is kept.

    further: with this one in its place the closest two would be nearer; nearer: it
    lies nearer to the mood; either: this one would do as well.
    """

    MUST = "must"
    FURTHER = "further"
    NEARER = "nearer"
    STANDS_OUT = "stands out"
    EITHER = "either"


class PickBy(StrEnum):
    """What a pick is made for.

    apart: the closest two as far apart as can be; values, prints, hues: nearly as
    far apart, so that light, medium and dark are as many as each other, or prints
    and solids, or the hues round the wheel, are mixed as in the bundle; mood:
    nearest to one fabric or colour, without near-twins.
    """

    APART = "apart"
    VALUES = "values"
    PRINTS = "prints"
    HUES = "hues"
    MOOD = "mood"


class ObstacleKind(StrEnum):
    """What kind of wish about the picks can't be met as it is."""

    NO_FABRICS = "no fabrics"
    MANY_MUST = "many must"
    SMALL_BUNDLE = "small bundle"
    FEW_LEFT = "few left"
    INSISTED = "insisted"


@dataclass(frozen=True, slots=True)
class Limits:
    """Thresholds of the verdicts; every one can be changed.

    Differences are CIEDE2000 (kL = 1), lightness in L*, areas are shares. The
    scale behind them: one step of Munsell value is 10 in L* and about 8.6 in
    CIEDE2000.
    """

    lost: float = 10.0
    """Below this reads-as difference from the background a fabric is lost, if `camouflage_warn` of
    its area lies near it, and soft otherwise.
    A little over one value step: less is a shade of the background."""
    clear: float = 20.0
    """From this difference on it is clear, if lightness differs too.
    A little over two value steps: light against medium, medium against dark."""
    lightness: float = 10.0
    """Below this lightness difference it is soft at most.
    One value step: with less, the edge fades when one squints, however strong the hue."""
    camouflage: float = 0.5
    """From this share of its area near the background on, it is left out.
    With half of it gone, the block loses its outline."""
    camouflage_warn: float = 0.25
    """From this share on, it is soft at most.
    A quarter is gone: the outline has gaps."""
    near: float = 10.0
    """A colour is near the background below this difference (or `lost`, if that is smaller).
    What loses a whole fabric loses a part of it."""
    twin: float = 5.0
    """Two fabrics are near-twins when their difference (palette.picking.similarity) is below this.
    Up to about 5 CIEDE2000 is a measure of what is hardly told apart (AATCC EP14); of 124 real
    cloths the 20 pairs below it are shades of one solid, or pale on pale."""
    lightness_alone: float = 20.0
    """From this lightness difference on it is clear, however small the colour difference.
    Two value steps; CIEDE2000 shrinks them towards white and black."""

    def __post_init__(self) -> None:
        for limit in fields(self):
            if not getattr(self, limit.name) >= 0:
                raise ValueError(f"{limit.name} must be 0 or more, not {getattr(self, limit.name)}")
        if self.lost > self.clear:
            raise ValueError(f"lost ({self.lost:g}) must not lie above clear ({self.clear:g})")
        if self.camouflage_warn > self.camouflage:
            raise ValueError(
                f"camouflage_warn ({self.camouflage_warn:g}) must not lie above"
                f" camouflage ({self.camouflage:g})"
            )


@dataclass(frozen=True, slots=True)
class Contrast:
    """One fabric against one background."""

    fabric: str
    """Id of the fabric."""
    background: str
    """Id of the background."""
    verdict: Verdict
    """How it stands."""
    difference: float
    """Reads-as difference, CIEDE2000."""
    lightness: float
    """Difference in L*, fabric minus background."""
    near_share: float
    """Share of the fabric's area that lies near the background, 0 to 1."""
    parts: tuple[tuple[float, float], ...] = ()
    """Difference of each part of it from the background, with its share of the area."""
    doubt: Doubt | None = None
    """What the photos leave open: that it truly is lost."""


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A fabric that is not among the chosen ones, and why."""

    fabric: str
    """Its id."""
    reason: Reason
    """The kind of reason."""
    measured: float | None = None
    """What was measured: a difference, or for camouflage a share of its area."""
    limit: float | None = None
    """The limit it was held against; for one not needed how far apart the chosen ones are, for one
    farther from the mood how far off the farthest chosen one is."""
    other: str | None = None
    """What it was held against: its twin, the background, the nearest of the chosen ones, or the
    mood; '' for the mood of a colour."""
    afar: float | None = None
    """Of a twin: how far apart the two are from across the room."""
    close_up: float | None = None
    """Of a twin: how far apart the two are close up, the earth mover's distance."""
    prints: float | None = None
    """Of a twin: how far apart their prints are."""
    kept_for: WhyKept | None = None
    """Of a twin: why the other one is kept."""
    doubt: Doubt | None = None
    """What the photos leave open: that the reason truly holds."""


@dataclass(frozen=True, slots=True)
class Obstacle:
    """A wish about the picks that can't be met as it is."""

    kind: ObstacleKind
    """Which kind."""
    wanted: int | None = None
    """How many fabrics are wanted; None for all that can be used."""
    there: int | None = None
    """How many there are instead: that must be used, in the bundle, or left."""
    against: LeftOut | None = None
    """Of a fabric that must be used: why it would be left out otherwise."""


@dataclass(frozen=True, slots=True)
class Near:
    """Two of the chosen that may be near-twins for all that their photos tell."""

    fabric: str
    """Id of one."""
    other: str
    """Id of the other."""
    apart: float
    """Their difference."""
    doubt: Doubt
    """What the photos leave open."""


@dataclass(frozen=True, slots=True)
class Relax:
    """A limit that could be relaxed when too few fabrics survive."""

    limit: str
    """Name of the field of Limits."""
    value: float
    """The value it would need."""
    now: float
    """The value it has."""
    brings_back: tuple[str, ...]
    """Ids of the fabrics that would come back."""
    short: int
    """How many would be missing still; 0 if it is enough."""


@dataclass(frozen=True, slots=True)
class Choice:
    """Which fabrics of a bundle are used, and a reason for each one that is not."""

    kept: tuple[str, ...]
    """Ids of the chosen fabrics, in the bundle's order."""
    left_out: tuple[LeftOut, ...]
    """All others, in the bundle's order."""
    closest: float | None
    """Difference (palette.picking.similarity) of the closest chosen pair; None for fewer than
    two."""
    closest_pair: tuple[str, str] | None
    """That pair."""
    proved: bool
    """Whether no other set of that size, out of those that can be used, serves the pick better:
    has its closest two further apart or, by mood, lies nearer to it on the whole."""
    bound: float | None = None
    """What `closest` of no such set exceeds, or by mood what `off` of none falls short of; None
    where nothing is chosen, or nothing is known of it."""
    off: float | None = None
    """By mood: how far the chosen ones are from it, added up."""
    problems: tuple[Obstacle, ...] = ()
    """What could not be met."""
    relax: tuple[Relax, ...] = ()
    """What would bring more back, when too few survive."""
    doubts: tuple[Near, ...] = ()
    """Which of the chosen may be near-twins, the likest first."""
