"""Everything the designer decides, as one value."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Annotated

from api.pattern.decision import Decision, named
from api.pattern.parts import LIMITS, SETTING
from api.pattern.sewing import Sewing
from api.pattern.swatch import Role, Swatch
from palette.picking.choice import Limits, PickBy
from placement.block import Block, block_names, check_cuttable, load_block, parse_block
from placement.inches import Inches, Units
from placement.top.request import Style
from placement.top.setting.setting import MOST_CELLS, Setting
from placement.top.setting.triangles import SettingSquares, edge_beyond, setting_squares

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator

MOST_BORDERS = 8
"""Borders a quilt may have."""

MOST_FABRICS = 300
"""Fabrics and backgrounds a plan takes."""

LONGEST_TITLE = 120
"""Characters of a title."""

MOST_SEED = 2**31 - 1
"""The largest seed."""

DEFAULT_SETTING = Setting("on point", 6, 7, Inches.parse("8 1/2"))
"""What a plan starts with."""

Cell = Annotated[
    int,
    Decision(
        about="Index of a block, row by row from 0.", least=0, most=MOST_CELLS - 1, examples=(0,)
    ),
]
BundleFabric = Annotated[str, Decision(about="Id of the fabric.", names=("fabric",))]


def _plain_threads() -> Collection[str]:
    from palette.thread import PLAIN

    return PLAIN


def _use(use: str, words: str, otherwise: str) -> Decision:
    """Return the decision on a fabric for one use."""
    return Decision(
        about=f"Id of the fabric for the {use}; {otherwise}.",
        words=words,
        names=("fabric", "background"),
        use=use,
    )


@dataclass(frozen=True, slots=True)
class Pin:
    """A cell whose fabric must stay, or (empty fabric) a cell left as background."""

    cell: Cell
    fabric: Annotated[
        str,
        Decision(
            about="Id of the fabric that stays; '' to leave the block as background.",
            names=("fabric",),
        ),
    ]


@dataclass(frozen=True, slots=True)
class Copies:
    """How many cells one fabric is to fill."""

    fabric: BundleFabric
    cells: Annotated[int, Decision(about="Blocks it fills.", least=0, most=MOST_CELLS - 1)]


@dataclass(frozen=True, slots=True)
class Family:
    """Which of two colour families a fabric is of."""

    fabric: BundleFabric
    family: Annotated[int, Decision(about="The first (0) or the second (1).", least=0, most=1)]


@dataclass(frozen=True, slots=True)
class Ban:
    """Fabrics that must not lie in a cell."""

    cell: Cell
    fabrics: Annotated[
        tuple[str, ...],
        Decision(about="Ids of the fabrics.", names=("fabric",), longest=MOST_FABRICS),
    ]


@dataclass(frozen=True, slots=True)
class Band:
    """One border."""

    width: Annotated[
        Inches, Decision(about="Finished width.", least=0, above=True, examples=("4 1/2",))
    ]
    fabric: Annotated[
        str,
        Decision(
            about="Id of its fabric; '' takes the background.",
            names=("fabric", "background"),
            use="border",
        ),
    ] = ""

    def __post_init__(self) -> None:
        if not self.width.value:
            raise ValueError("a border needs a width above 0; leave it out to have none")


@dataclass(frozen=True, slots=True)
class OwnBlock:
    """A block of the designer's own, in the form of a block's data file (placement.block)."""

    name: Annotated[str, Decision(about="What it is called.", longest=LONGEST_TITLE)]
    columns: Annotated[
        tuple[str, ...],
        Decision(about="Relative finished widths.", longest=24, examples=(["4", "9", "4"],)),
    ]
    rows: Annotated[
        tuple[str, ...],
        Decision(about="Relative finished heights.", longest=24, examples=(["4", "9", "4"],)),
    ]
    patches: Annotated[
        tuple[str, ...],
        Decision(
            about="One text a row of the grid, a patch a word.",
            longest=24,
            examples=(["F B F", "B F B", "F B F"],),
        ),
    ]

    def drawn(self) -> Block:
        """Return the block; ValueError lists every fault of its form."""
        data = {"columns": [*self.columns], "rows": [*self.rows], "patches": [*self.patches]}
        return parse_block({"name": self.name, **data})


def _cuttable(own: OwnBlock) -> None:
    check_cuttable(own.drawn())


@dataclass(frozen=True, slots=True)
class Brief:
    """Everything the designer decides."""

    title: Annotated[
        str,
        Decision(
            about="Name of the pattern.",
            words="the title",
            longest=LONGEST_TITLE,
            examples=("Orchard",),
        ),
    ] = "Untitled quilt"
    swatches: tuple[Swatch, ...] = ()
    """The bundle, in the order it was given."""
    backgrounds: tuple[Swatch, ...] = ()
    """Candidate backgrounds."""
    background: Annotated[
        str,
        Decision(
            about="Id of the background to use, of the candidates; '' takes the one on which most "
            "fabrics are clear.",
            words="the background",
            names=("background",),
            option="background-fabric",
        ),
    ] = ""
    threads: tuple[Swatch, ...] = ()
    """Candidate threads to quilt with; plain ones are always judged beside them."""
    thread: Annotated[
        str,
        Decision(
            about="Id of the thread to quilt with, a candidate or a plain one; '' for none yet.",
            words="the thread",
            names=("thread",),
            choices=_plain_threads,
            examples=("plain:ecru",),
        ),
    ] = ""
    count: Annotated[
        int | None,
        Decision(
            about="How many fabrics to use; all that stand out unless it is given.",
            words="the number of fabrics",
            least=1,
            most=MOST_FABRICS,
            none="all",
        ),
    ] = None
    pick_by: Annotated[
        PickBy,
        Decision(
            about="What the pick is made for: the closest two as far apart as can be; nearly so, "
            "with light, medium and dark alike in number, or prints and solids, or the hues, as "
            "the bundle has them; or fabrics in the mood of one.",
            words="what the pick is made for",
        ),
    ] = PickBy.APART
    mood: Annotated[
        str,
        Decision(
            about="Id of the fabric or background whose mood is picked; '' takes the colour, or "
            "else the background in use.",
            words="the mood",
            names=("fabric", "background"),
        ),
    ] = ""
    mood_colour: Annotated[
        str | None,
        Decision(
            about="Web colour whose mood is picked while no fabric is named for it.",
            words="the colour of the mood",
            longest=7,
            none="none",
            examples=("#a83e32",),
        ),
    ] = None
    limits: Annotated[
        Limits, Decision(about="Limits of contrast and likeness.", option="limit", parts=LIMITS)
    ] = field(default_factory=Limits)
    setting: Annotated[
        Setting, Decision(about="How blocks are put together.", option="", parts=SETTING)
    ] = DEFAULT_SETTING
    sashing_fabric: Annotated[
        str, _use("sashing", "the sashing's fabric", "'' takes the background")
    ] = ""
    cornerstone_fabric: Annotated[
        str, _use("cornerstones", "the cornerstones' fabric", "'' takes the sashing's")
    ] = ""
    block: Annotated[
        str,
        Decision(
            about="The block's short name.",
            words="the block",
            choices=block_names,
            examples=("sawtooth-star",),
        ),
    ] = "sawtooth-star"
    own_block: Annotated[
        OwnBlock | None,
        Decision(
            about="A block of your own; naming a block takes it away.",
            words="the block of your own",
            none="none",
            check=_cuttable,
        ),
    ] = None
    borders: Annotated[
        tuple[Band, ...],
        Decision(
            about="Borders, from the quilt's centre outward.",
            words="the borders",
            longest=MOST_BORDERS,
            none="none",
            option="border",
        ),
    ] = (Band(Inches.parse(4)),)
    binding_fabric: Annotated[
        str,
        _use(
            "binding",
            "the binding's fabric",
            "'' takes the outermost border's, else the background",
        ),
    ] = ""
    backing_fabric: Annotated[
        str, _use("backing", "the backing's fabric", "'' leaves it to be bought")
    ] = ""
    second_fabric: Annotated[
        str, _use("second feature", "the second feature", "'' takes the feature's own")
    ] = ""
    style: Annotated[Style, Decision(about="Arranging rule.", words="the arranging rule")] = (
        Style.SCATTERED
    )
    apart: Annotated[
        float,
        Decision(
            about="How much side-by-side blocks must differ, as a share of the furthest reachable: "
            "0.5 spreads colours best, 1 puts contrast first.",
            words="how much neighbours differ",
            least=0,
            most=1,
        ),
    ] = 0.5
    copies: Annotated[
        tuple[Copies, ...],
        Decision(
            about="Blocks that each fabric fills; all alike unless it is given.",
            words="the copies of fabrics",
            longest=MOST_FABRICS,
            none="none",
        ),
    ] = ()
    families: Annotated[
        tuple[Family, ...],
        Decision(
            about="Colour family of each fabric, 0 or 1, for the style 'families'; found unless "
            "given.",
            words="the colour families",
            longest=MOST_FABRICS,
            none="none",
            option="family",
        ),
    ] = ()
    pins: Annotated[
        tuple[Pin, ...],
        Decision(
            about="Blocks that stay when the others are arranged, numbered row by row from 0.",
            words="the locked blocks",
            longest=MOST_CELLS,
            none="none",
            option="pin",
        ),
    ] = ()
    bans: Annotated[
        tuple[Ban, ...],
        Decision(
            about="Fabrics kept out of blocks, which are numbered row by row from 0.",
            words="what lies where",
            longest=MOST_CELLS,
            none="none",
            option="ban",
        ),
    ] = ()
    turn: Annotated[
        bool,
        Decision(
            about="Whether every other block may be turned so that seams nest.",
            words="the turning of blocks",
        ),
    ] = True
    sewing: Annotated[Sewing, Decision(about="Cutting and finishing.", option="")] = field(
        default_factory=Sewing
    )
    seed: Annotated[
        int,
        Decision(
            about="Another number, another layout; the same brief and seed, the same plan.",
            words="the seed",
            least=0,
            most=MOST_SEED,
        ),
    ] = 1
    units: Annotated[
        Units,
        Decision(
            about="What lengths are shown in; metric work has usual sizes of its own.",
            words="the units",
        ),
    ] = "inches"

    def __post_init__(self) -> None:
        if len(self.borders) > MOST_BORDERS:
            raise ValueError(f"a quilt takes {MOST_BORDERS} borders, not {len(self.borders)}")

    @property
    def edge(self) -> float:
        """Finished width of all borders together, inches."""
        return sum(float(band.width) for band in self.borders)

    @property
    def shows_background(self) -> bool:
        """Whether any background lies beside the fabrics: in blocks, between or around them."""
        setting = self.setting
        bands = bool(setting.sashing.value) and not self.sashing_fabric
        return (
            self.pattern().has("B")
            or setting.kind == "on point"
            or setting.alternate
            or bands
            or any(not band.fabric for band in self.borders)
            or any(not pin.fabric for pin in self.pins)
        )

    def setting_squares(self) -> tuple[SettingSquares, ...]:
        """Return the squares that setting triangles are cut from."""
        terms = self.sewing.terms(self.units)
        return setting_squares(
            self.setting, terms.seam, terms.step, terms.own_squares, terms.larger
        )

    @property
    def beyond(self) -> float:
        """How far the edge of the blocks lies beyond their points, inches; below 0 it cuts them."""
        return edge_beyond(self.setting, self.setting_squares(), self.sewing.floating)

    @property
    def inset(self) -> float:
        """Where the blocks' points begin, across and down from the quilt's finished edge."""
        return self.edge + self.beyond

    def centre(self) -> tuple[float, float]:
        """Return the finished width and height without borders, in inches."""
        more = 2 * self.beyond
        return self.setting.width + more, self.setting.height + more

    def size(self) -> tuple[float, float]:
        """Return the finished width and height with the borders, in inches."""
        width, height = self.centre()
        return width + 2 * self.edge, height + 2 * self.edge

    def named(self) -> Iterator[tuple[str, str]]:
        """Yield every fabric or background named for a use of its own, and that use."""
        uses = ((found.id, found.decided.decision.use) for found in named(self))
        yield from ((fabric, use) for fabric, use in uses if use)

    def everything(self) -> tuple[Swatch, ...]:
        """Return every swatch: the bundle, the backgrounds and the threads."""
        return (*self.swatches, *self.backgrounds, *self.threads)

    def of_role(self, role: Role) -> tuple[Swatch, ...]:
        """Return the swatches that serve one purpose."""
        if role == "fabric":
            return self.swatches
        return self.backgrounds if role == "background" else self.threads

    def pattern(self) -> Block:
        """Return the block in use; ValueError if there is none of that name or it has faults."""
        return self.own_block.drawn() if self.own_block else load_block(self.block)
