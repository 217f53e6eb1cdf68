"""`python -m vectorsep`."""

import sys

from vectorsep.cli import main

sys.exit(main())
