"""Run a command: `python -m halfclick plan "Fell Beck"`."""

import sys

from halfclick.commands.main import main

if __name__ == "__main__":
    sys.exit(main())
