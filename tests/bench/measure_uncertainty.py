"""Measure how sure differences read from photos are; write the table the program uses.

Run as ``python tests/bench/measure_uncertainty.py``; it rewrites palette/uncertainty.json.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from tests.bench import photographed, spectra  # noqa: E402 (after the path to them)

LEVELS = (0.02, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.98)
MEASURED = (0, 0.5, 1, 1.5, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30)
NEAREST = 800
"""Pairs that are looked at around each measured difference."""
SOURCE = (
    "tests/bench/measure_uncertainty.py: mixtures of the 190 training reflectances of the "
    "Academy's RAW to ACES utility (as in colour-science) in 16 lights before two "
    "cameras, rendered as phones do; chances assume that all true differences are as likely"
)


def main() -> None:
    """Write the table."""
    lights = sum(spectra.TUNING_LIGHTS.values(), ())
    cloths = spectra.training_reflectances()
    truth = {
        name: _quantiles(photographed.pairs(how, cloths, lights, 40_000, seed))
        for seed, (name, how) in enumerate(photographed.CASES.items())
    }
    rows = ",\n".join(
        f"  {json.dumps(name)}: [\n    " + ",\n    ".join(map(json.dumps, table)) + "]"
        for name, table in truth.items()
    )
    (ROOT / "palette" / "uncertainty.json").write_text(
        f'{{"source": {json.dumps(SOURCE)},\n"levels": {json.dumps(LEVELS)},\n'
        f'"measured": {json.dumps(MEASURED)},\n"truth": {{\n{rows}}}}}\n',
        encoding="utf-8",
    )


def _quantiles(pairs: photographed.Pairs) -> list[list[float]]:
    rows = []
    for measured in MEASURED:
        near = np.argsort(np.abs(pairs.measured - measured))[:NEAREST]
        rows.append([round(float(q), 2) for q in np.quantile(pairs.true[near], LEVELS)])
    return rows


if __name__ == "__main__":
    main()
