"""How quilting threads do on the fabrics of a quilt, in words."""

from __future__ import annotations

from api.wording.english import agree
from palette.thread import Judged, Verdict


def judged(entry: Judged) -> str:
    """Say on how many fabrics a thread shows, and on how many it does not."""
    if not entry.lines:
        return "There is no fabric yet to judge it on."
    total = f"of {len(entry.lines)} {agree(len(entry.lines), 'fabric', 'fabrics')}"
    shows, soft, gone = (len(entry.where(verdict)) for verdict in Verdict)
    return f"Shows on {shows} {total}, soft on {soft}, vanishes on {gone}."
