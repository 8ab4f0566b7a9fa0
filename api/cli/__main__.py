"""Run the program with ``python -m api.cli``."""

import sys

from api.cli.main import main

sys.exit(main())
