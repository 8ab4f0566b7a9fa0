"""What goes over the wire about one photo of a whole bundle."""

from __future__ import annotations

from base64 import b64encode
from typing import TYPE_CHECKING, Annotated, Literal

from pydantic import BaseModel, Field, StringConstraints

from api.pattern.changes import Wish
from api.pattern.swatch import Role
from api.photos.bundle import Measured
from api.web.wire.requests import Id, Length, Name
from api.wording.photos import bundle_warning

if TYPE_CHECKING:
    from palette.bundle.find import Lie
    from palette.bundle.pipeline import Proposal
    from palette.bundle.result import Found

MOST_PIECES = 150
"""Pieces of one photo."""
_PIXELS = 10_000

Part = Annotated[float, Field(ge=0, le=1)]
Spot = Annotated[
    list[Part],
    Field(
        min_length=2,
        max_length=2,
        description="Part of the photo's width from the left, part of its height from the top.",
        examples=[[0.25, 0.5]],
    ),
]
Corners = Annotated[
    list[Spot],
    Field(
        min_length=4,
        max_length=4,
        description="Top left, top right, bottom right and bottom left.",
        examples=[[[0.1, 0.1], [0.3, 0.1], [0.3, 0.35], [0.1, 0.35]]],
    ),
]
Number = Annotated[int, Field(ge=0, lt=MOST_PIECES, description="A piece, from 0.", examples=[0])]
Kind = Literal["spread", "grid", "stack"]
PictureName = Annotated[
    str,
    StringConstraints(pattern="^[0-9a-f]{64}$"),
    Field(description="The cleaned photo, as it was answered.", examples=["0" * 64]),
]


class PieceIn(Wish):
    """A fabric in the photo."""

    name: Name = Field(description="What people call it.", examples=["Quince dots"])
    corners: Corners


class BundleIn(Wish):
    """What is in a photo, as it was answered, or as it was changed since."""

    picture: PictureName
    kind: Kind = Field(default="spread", description="How the bundle lies.")
    width: int = Field(gt=0, le=_PIXELS, description="Of the photo, as answered.", examples=[2000])
    height: int = Field(gt=0, le=_PIXELS, description="Of the photo.", examples=[1500])
    pieces: list[PieceIn] = Field(max_length=MOST_PIECES, description="Its fabrics.")

    def found(self) -> Found:
        """Return it as a value; ValueError if the corners of a piece enclose nothing."""
        from palette.bundle.result import Found, Piece
        from palette.photo.quad import Quad

        pieces = (Piece(piece.name, Quad.given(piece.corners)) for piece in self.pieces)
        return Found(self.kind, self.width, self.height, tuple(pieces))


class MoveCorner(Wish):
    """Move one corner of a piece."""

    do: Literal["move"]
    number: Number
    corner: int = Field(ge=0, le=3, description="0 top left, then clockwise.", examples=[2])
    to: Spot


class SplitPiece(Wish):
    """Split a piece in two."""

    do: Literal["split"]
    number: Number
    across: bool = Field(description="Side by side, not one above the other.", examples=[True])
    at: float = Field(default=0.5, gt=0, lt=1, description="Where, as a part of it.")


class JoinPieces(Wish):
    """Join two pieces of one fabric."""

    do: Literal["join"]
    first: Number
    second: Number


class RemovePiece(Wish):
    """Take a piece out."""

    do: Literal["remove"]
    number: Number


class TapFabric(Wish):
    """Add the fabric that lies at a point; for one so like the table that it was not found."""

    do: Literal["tap"]
    at: Spot


class LieIn(Wish):
    """How a bundle lies."""

    kind: Kind = Field(description="With gaps, edge to edge, or folded one on another.")
    rows: int = Field(default=0, ge=0, le=MOST_PIECES, description="Of a grid.")
    columns: int = Field(default=0, ge=0, le=MOST_PIECES, description="Of a grid.")
    count: int = Field(default=0, ge=0, le=MOST_PIECES, description="Of fabrics in a stack.")

    def value(self) -> Lie:
        """Return it as a value; ValueError if a count is missing."""
        from palette.bundle.find import Lie

        return Lie(self.kind, self.rows, self.columns, self.count)


class Looking(Wish):
    """A photo to be taken apart, and how the fabrics lie in it."""

    picture: PictureName
    lie: LieIn


class DivideBundle(Wish):
    """Divide a grid or a stack anew, in an outline given by hand."""

    do: Literal["divide"]
    outline: Corners
    lie: LieIn


class Correction(Wish):
    """One correction of what was found."""

    bundle: BundleIn
    change: Annotated[
        MoveCorner | SplitPiece | JoinPieces | RemovePiece | TapFabric | DivideBundle,
        Field(discriminator="do", description="What to do."),
    ]


class RulerIn(Wish):
    """Something of known length that lies flat beside the fabrics."""

    start: Spot
    end: Spot
    length: Length = Field(description="From end to end.", examples=["12"])

    def value(self) -> Measured:
        """Return it as a value."""
        return Measured((self.start[0], self.start[1]), (self.end[0], self.end[1]), self.length)


class BundleTaken(Wish):
    """The pieces to be added as fabrics."""

    bundle: BundleIn
    role: Role = Field(default="fabric", description="What they are.")
    edge: Length | None = Field(
        default=None, description="Length of each upper edge, for pre-cuts.", examples=["10"]
    )
    ruler: RulerIn | None = Field(default=None, description="It goes before the edge.")
    white: str | None = Field(
        default=None,
        max_length=80,
        description="'auto' to look for a white card, or its place: left,top,right,bottom.",
        examples=["auto"],
    )
    instead: Id | None = Field(
        default=None,
        description="Id of the fabric that the photo was taken for; it goes as they come.",
    )


class PieceOut(BaseModel):
    """A fabric that was found."""

    name: str
    corners: Corners
    crop: str = Field(description="A small JPEG of the part that will be read, as a data address.")


class BundleOut(BaseModel):
    """What was found in a photo."""

    picture: str = Field(description="Name of the cleaned photo; send it back with the pieces.")
    address: str = Field(description="Where to load it.")
    kind: Kind
    width: int = Field(description="Of the cleaned photo, in pixels.")
    height: int
    pieces: list[PieceOut] = Field(description="From the top left, row by row.")
    card: bool = Field(description="Whether white paper was found beside them and left out.")
    warnings: list[str] = Field(description="What may be wrong and what to do.")

    @classmethod
    def of(cls, picture: str, proposal: Proposal) -> BundleOut:
        """Tell what was found in the photo whose cleaned copy has that name."""
        from palette.bundle.result import BundleFault

        found = proposal.found
        return cls(
            picture=picture,
            address=f"/api/swatches/{picture}.jpg",
            kind=found.kind,
            width=found.width,
            height=found.height,
            pieces=[
                PieceOut(
                    name=piece.name,
                    corners=[list(corner) for corner in piece.quad.corners],
                    crop=f"data:image/jpeg;base64,{b64encode(crop).decode()}",
                )
                for piece, crop in zip(found.pieces, proposal.crops, strict=True)
            ],
            card=any(each.fault == BundleFault.CARD for each in found.warnings),
            warnings=[bundle_warning(found, each) for each in found.warnings],
        )
