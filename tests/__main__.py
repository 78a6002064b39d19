"""`python3 -m tests`: from a fresh clone to tested, in one command.

    python3 -m tests                     lint, types, and every test but the long ones
    python3 -m tests --quick             what takes under a minute altogether
    python3 -m tests --long              the long ones only
    python3 -m tests bench [--json FILE] the benchmark; --million measures among a million records too
    python3 -m tests tour                the README's pictures, taken anew
    python3 -m tests ARGUMENTS           pytest with these arguments; no lint where they name tests

Like seed_demo's, this file is readable by old Pythons, to say what is wrong.
"""

import sys

from seed_demo.start.pythons import refusal

if __name__ == "__main__":
    no = refusal(sys.version_info, sys.platform)
    if no:
        sys.exit(no.replace("seed_demo", "tests"))

    from tests.command import main

    sys.exit(main(sys.argv[1:]))
