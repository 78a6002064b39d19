"""`python3 -m seed_demo`: from a fresh clone to a running demo, in one command.

This file and `start/pythons.py` keep to words that even a very old Python can
read, so that it can say what is wrong instead of stumbling over the syntax.
"""

import sys

from seed_demo.start.pythons import refusal

if __name__ == "__main__":
    no = refusal(sys.version_info, sys.platform)
    if no:
        sys.exit(no)

    from seed_demo.start.command import main

    sys.exit(main(sys.argv[1:]))
