"""Run the program with ``python -m api``."""

import sys

from api.cli.main import main

sys.exit(main())
