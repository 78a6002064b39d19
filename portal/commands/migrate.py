"""`python3 -m portal migrate`: bring the database to the newest edition of its tables."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence


def run(arguments: Sequence[str]) -> int:
    """Migrate the database that SILLBOOK_DATABASE names."""
    argparse.ArgumentParser(prog="python3 -m portal migrate", description=__doc__).parse_args(arguments)

    from portal.settings import BadSettings, from_environment
    from portal.store import migrate

    try:
        migrate.upgrade(from_environment().database)
    except BadSettings as bad:
        print(bad, file=sys.stderr)
        return 2
    print("The database is at its newest edition.")
    return 0
