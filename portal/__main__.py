"""`python3 -m portal …`: see `portal.cli`."""

import sys

from portal.cli import main

sys.exit(main(sys.argv[1:]))
