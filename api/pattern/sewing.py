"""What the designer decides about cutting and finishing, and the cloth she has."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Annotated

from api.pattern.decision import Decision
from placement.cloth.cut_terms import CutTerms
from placement.cloth.cutting import Aim
from placement.cloth.forms import Along, Form, FormKind, form_of, own_form
from placement.cloth.methods import Geese, Method, Quarters
from placement.cloth.pieces import Terms
from placement.inches import Inches, Units
from placement.sizes import EIGHTH, FIVE_MM
from placement.top.setting.finishing import QUARTER, Corner, Grain, Join

MOST_SHRINKAGE = 20
"""Per cent; published samples of quilting cotton shrink by 3 to 10."""

MOST_ALLOWANCE = 36
"""Inches; more than a yard of cloth is worth no ruler setting."""

MOST_LAYERS = 12
"""More than a rotary cutter cuts truly; common practice is 4 to 8."""

WIDEST_TRIM = 6
"""Inches; common practice is to cut 1/2 to 1 in larger, a guard against a slip of the keyboard."""

WIDEST_SEAM = 2
"""Inches; eight times the usual seam allowance, a guard against a slip of the keyboard."""


@dataclass(frozen=True, slots=True)
class OwnCloth:
    """The cloth at hand for one fabric, where it is not the usual form."""

    fabric: Annotated[
        str,
        Decision(about="Id of the fabric.", names=("fabric", "background")),
    ]
    form: Annotated[
        FormKind,
        Decision(about="Form of cloth it comes in.", examples=("fat eighth",)),
    ]
    count: Annotated[int, Decision(about="Pieces of that form.", least=1, most=100)] = 1
    length: Annotated[
        Inches | None,
        Decision(
            about="For yardage: the usable length at hand, measured after washing and squaring "
            "up; without one it is told what to buy."
        ),
    ] = None
    width: Annotated[
        Inches | None,
        Decision(about="Usable width as measured; the form's unless it is given."),
    ] = None
    height: Annotated[
        Inches | None,
        Decision(about="Usable height of a pre-cut as measured; the form's unless it is given."),
    ] = None
    units: Annotated[
        Units | None,
        Decision(about="Units that form is sold in; the plan's unless they are given."),
    ] = None
    along: Annotated[Along, Decision(about="Which side of a pre-cut the strips run along.")] = (
        Along.LONG
    )

    def __post_init__(self) -> None:
        # A form may be given by its name; ValueError says which there are.
        object.__setattr__(self, "form", FormKind(self.form))
        object.__setattr__(self, "along", Along(self.along))

    def cloth_form(self, units: Units, sewing: Sewing) -> Form:
        """Return the form it comes in as work in those units takes it, laid as it is told.

        A pre-cut of one's own measure has the sides that all of them have, unless its own
        are given.

        Raises
        ------
        ValueError
            If it is of one's own measure and a side is missing.
        """
        if self.form is FormKind.OWN:
            sides = self.height or sewing.own_height, self.width or sewing.own_width
            return _measured(*sides, self.units or units).laid(self.along)
        form = form_of(self.form, self.units or units)
        if self.width is not None:
            wide = max(self.width, form.nominal_width)
            form = replace(form, width=self.width, nominal_width=wide)
        if self.height is not None and not form.open_ended:
            form = replace(form, height=self.height)
        # As measured, width is the side that strips run along, unless it is told otherwise.
        return form.laid(self.along) if self.along is Along.SHORT else form


def _measured(height: Inches | None, width: Inches | None, units: Units) -> Form:
    if height is None or width is None:
        raise ValueError("cloth of your own measure needs its usable height and width; give both")
    return own_form(height, width, units)


@dataclass(frozen=True, slots=True)
class Sewing:
    """What the designer decides about cutting and finishing."""

    seam: Annotated[
        Inches,
        Decision(
            about="Seam allowance.",
            words="the seam allowance",
            least=0,
            above=True,
            most=WIDEST_SEAM,
        ),
    ] = QUARTER
    triangles: Annotated[
        Method,
        Decision(
            about="How half-square units are made: so many at a time, or from strips.",
            words="how half-square units are made",
        ),
    ] = "two"
    geese: Annotated[
        Geese,
        Decision(
            about="How flying geese are made: four at a time, or one from a rectangle and two "
            "squares.",
            words="how flying geese are made",
        ),
    ] = Geese.FOUR
    quarters: Annotated[
        Quarters,
        Decision(
            about="How quarter-square units are made: from squares cut twice, or from two "
            "half-square units.",
            words="how quarter-square units are made",
        ),
    ] = Quarters.CUT_TWICE
    form: Annotated[
        FormKind,
        Decision(
            about="Form that the fabrics come in unless another is told.",
            words="the form of the fabrics",
            examples=("fat quarter",),
        ),
    ] = FormKind.FAT_QUARTER
    form_units: Annotated[
        Units | None,
        Decision(
            about="Units that form is sold in; the plan's unless they are given.",
            words="the units of the fabrics' form",
            none="none",
        ),
    ] = None
    cloths: Annotated[
        tuple[OwnCloth, ...],
        Decision(
            about="Fabrics whose cloth is another; background and borders are yardage unless told.",
            words="the cloth of fabrics",
            longest=300,
            none="none",
            option="cloth",
        ),
    ] = ()
    at_hand: Annotated[
        bool,
        Decision(
            about="Whether a piece of each fabric of the blocks is at hand in the form that they "
            "come in; else it is on the shopping list.",
            words="whether the fabrics are at hand",
        ),
    ] = True
    corner: Annotated[
        Corner, Decision(about="How corners of borders are made.", words="the borders' corners")
    ] = "butted"
    binding: Annotated[
        Inches,
        Decision(
            about="Width to cut the binding.", words="the binding's width", least=0, above=True
        ),
    ] = field(default_factory=lambda: Inches.parse("2 1/2"))
    join: Annotated[
        Join, Decision(about="How binding strips are joined.", words="the binding's joins")
    ] = "diagonal"
    extra: Annotated[
        Inches,
        Decision(
            about="Binding added for corners and overlap.",
            words="the binding's overlap",
            option="binding-extra",
        ),
    ] = field(default_factory=lambda: Inches.parse(12))
    margin: Annotated[
        Inches,
        Decision(
            about="Backing and batting beyond the quilt, on every side.",
            words="the backing's margin",
        ),
    ] = field(default_factory=lambda: Inches.parse(4))
    side_square: Annotated[
        Inches | None,
        Decision(
            about="Your own size of square for side triangles; 0 for none.",
            words="your own square for side triangles",
            none="none",
        ),
    ] = None
    corner_square: Annotated[
        Inches | None,
        Decision(
            about="Your own size of square for corner triangles; 0 for none.",
            words="your own square for corner triangles",
            none="none",
        ),
    ] = None
    oversize: Annotated[
        Inches,
        Decision(
            about="How much larger than they must be squares for setting triangles are cut, to be "
            "trimmed once the top is sewn.",
            words="how much larger setting squares are cut",
            most=WIDEST_TRIM,
        ),
    ] = field(default_factory=lambda: Inches.parse(0))
    floating: Annotated[
        Inches,
        Decision(
            about="How far blocks float: setting triangles are trimmed so far beyond the blocks' "
            "points, and the quilt grows by as much on every side.",
            words="how far blocks float",
            most=WIDEST_TRIM,
        ),
    ] = field(default_factory=lambda: Inches.parse(0))
    squaring: Annotated[
        Inches,
        Decision(
            about="Lost at the end of each strip set when it is squared up.",
            words="what squaring up takes",
        ),
    ] = QUARTER
    grain: Annotated[
        Grain,
        Decision(
            about="Grain of the binding: strips across the cloth, or one long strip on the bias.",
            words="the binding's grain",
        ),
    ] = "straight"
    shrinkage: Annotated[
        float,
        Decision(
            about="What yardage loses in the wash before it is cut; pre-cuts are cut unwashed.",
            words="the shrinkage",
            least=0,
            most=MOST_SHRINKAGE,
            unit="per cent",
            examples=(3,),
        ),
    ] = 3.0

    aim: Annotated[
        Aim,
        Decision(
            about="What matters most in cutting: the simplest plan within an allowance, or the "
            "least cloth; both are told.",
            words="the aim of cutting",
        ),
    ] = Aim.SIMPLEST
    allowance: Annotated[
        Inches,
        Decision(
            about="How much more yardage the simplest plan may take than the least: nothing, or "
            "1/8, 1/4 or 1/2 yd (4 1/2, 9, 18 in); one grain for strip sets goes first.",
            words="what simple cutting may cost",
            most=MOST_ALLOWANCE,
        ),
    ] = field(default_factory=lambda: Inches.parse(9))
    layers: Annotated[
        int,
        Decision(
            about="How many strips are cut at once.",
            words="the layers cut at once",
            least=1,
            most=MOST_LAYERS,
        ),
    ] = 6

    alike: Annotated[
        bool,
        Decision(
            about="Whether all fabrics of one form of pre-cut are cut by one plan, that of the "
            "fabric with the most blocks, where the cloth holds it; else each by its own.",
            words="whether all fabrics are cut alike",
        ),
    ] = True

    along: Annotated[
        Along,
        Decision(
            about="Which side of a pre-cut the strips run along.",
            words="the side that strips run along",
        ),
    ] = Along.LONG
    own_height: Annotated[
        Inches | None,
        Decision(
            about="Usable height of a pre-cut of your own measure.",
            words="the height of your own pre-cut",
            none="none",
        ),
    ] = None
    own_width: Annotated[
        Inches | None,
        Decision(
            about="Usable width of a pre-cut of your own measure.",
            words="the width of your own pre-cut",
            none="none",
        ),
    ] = None
    alternates: Annotated[
        tuple[FormKind, ...],
        Decision(
            about="Other forms of cloth that the pattern is told for.",
            words="the alternates",
            longest=len(FormKind),
            none="none",
            option="alternate-form",
            examples=(["fat quarter"],),
        ),
    ] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "form", FormKind(self.form))
        object.__setattr__(self, "along", Along(self.along))
        told = dict.fromkeys(FormKind(kind) for kind in self.alternates)
        object.__setattr__(self, "alternates", tuple(told))
        object.__setattr__(self, "aim", Aim(self.aim))
        object.__setattr__(self, "geese", Geese(self.geese))
        object.__setattr__(self, "quarters", Quarters(self.quarters))
        if not 0 <= self.shrinkage <= MOST_SHRINKAGE:
            raise ValueError(
                f"cloth shrinks by 0 to {MOST_SHRINKAGE} per cent, not {self.shrinkage:g}"
            )

    @property
    def shrunk(self) -> Fraction:
        """The share of its length that yardage loses, exact."""
        return Fraction(str(self.shrinkage)) / 100

    def terms(self, units: Units) -> Terms:
        """Return the terms of cutting a plan in those units: the same for every question asked."""
        step = FIVE_MM if units == "metric" else EIGHTH
        return Terms(
            self.seam,
            step,
            self.triangles,
            self.geese,
            self.quarters,
            squaring=self.squaring,
            side_square=self.side_square,
            corner_square=self.corner_square,
            oversize=self.oversize,
            floating=self.floating,
        )

    def usual_form(self, units: Units) -> Form:
        """Return the form that the fabrics of a plan in those units come in."""
        return self.form_called(self.form, self.form_units or units).laid(self.along)

    @property
    def own_measure(self) -> bool:
        """Whether the sides of a pre-cut of one's own measure are told."""
        return self.own_height is not None and self.own_width is not None

    def form_called(self, kind: FormKind, units: Units) -> Form:
        """Return a form of cloth as it is sold in those units, or of one's own measure.

        Raises
        ------
        ValueError
            If it is of one's own measure and a side is missing.
        """
        if kind is FormKind.OWN:
            return _measured(self.own_height, self.own_width, units)
        return form_of(kind, units)

    @property
    def cut_terms(self) -> CutTerms:
        """How pieces are cut from cloth."""
        return CutTerms(self.aim, self.allowance, self.layers, shrinkage=self.shrunk)

    def in_units(self, units: Units) -> Sewing:
        """Return the same terms for work in those units: what is as usual stays so.

        Lengths that a designer chose for herself are hers and stay.
        """
        inches, metric = Sewing(), _METRIC_SEWING
        old, new = (inches, metric) if units == "metric" else (metric, inches)
        usual = ("seam", "binding", "extra", "margin", "squaring", "allowance")
        moved = {n: getattr(new, n) for n in usual if getattr(self, n) == getattr(old, n)}
        return replace(self, **moved)


_METRIC_SEWING = Sewing(
    seam=Inches.parse("7.5 mm"),
    binding=Inches.parse("65 mm"),
    extra=Inches.parse("300 mm"),
    margin=Inches.parse("100 mm"),
    squaring=Inches.parse("10 mm"),
    allowance=Inches.parse("200 mm"),
)
"""The usual terms of metric work, common practice: with seams of 7.5 mm every size is 15 mm
more than finished, on the ruler; the others are those in inches up to the next 5 mm or nearly."""
