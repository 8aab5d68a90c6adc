"""Start the program: python -m halfclick_desktop."""

import sys

from halfclick_desktop.app import main

sys.exit(main())
