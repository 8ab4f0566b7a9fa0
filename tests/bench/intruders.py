"""What gets into photos of a bundle from beyond their edge."""

from __future__ import annotations

import io

from PIL import Image, ImageDraw

FLOOR, SKIN, STEEL, HANDLE = (60, 52, 48), (150, 110, 90), (180, 180, 190), (200, 60, 40)
INTRUDERS = ("floor", "corner", "feet", "scissors")


def intruded(jpeg: bytes, what: str) -> bytes:
    """Return the photo with the floor along its upper edge or in a corner, feet, or scissors."""
    image = Image.open(io.BytesIO(jpeg)).convert("RGB")
    draw = ImageDraw.Draw(image)
    wide, high = image.size
    pen = max(2, round(0.008 * wide))
    if what == "floor":
        draw.polygon([(0, 0), (wide, 0), (wide, 0.06 * high), (0, 0.09 * high)], fill=FLOOR)
    elif what == "corner":
        draw.polygon([(0, high), (0, 0.9 * high), (0.2 * wide, high)], fill=FLOOR)
    elif what == "feet":
        for x in (0.12, 0.22):
            left, right = (x - 0.03) * wide, (x + 0.03) * wide
            draw.ellipse((left, 0.94 * high, right, 1.1 * high), fill=SKIN)
    elif what == "scissors":
        draw.line([(0.005 * wide, 0.2 * high), (0.02 * wide, 0.7 * high)], fill=STEEL, width=pen)
        ring = (-0.01 * wide, 0.7 * high, 0.03 * wide, 0.78 * high)
        draw.ellipse(ring, outline=HANDLE, width=pen)
    else:
        raise ValueError(f"{what!r} is none of {', '.join(INTRUDERS)}")
    out = io.BytesIO()
    image.save(out, "JPEG", quality=92)
    return out.getvalue()
