"""Run the program with ``python -m api``."""

import sys

from api.cli import main

sys.exit(main())
