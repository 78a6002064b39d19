"""`python3 -m portal check-books`: add up all of the ledger again, and every month as it was closed."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence


def run(arguments: Sequence[str]) -> int:
    """Exit 0 where every entry balances and every closed month is as it was closed, 1 where one does not."""
    argparse.ArgumentParser(prog="python3 -m portal check-books", description=__doc__).parse_args(arguments)

    from portal.acts import upkeep
    from portal.commands.opened import opened
    from portal.settings import BadSettings

    try:
        wrong = upkeep.wrong_in_books(opened())
    except BadSettings as bad:
        print(bad, file=sys.stderr)
        return 2
    for says in wrong:
        print(says, file=sys.stderr)
    if not wrong:
        print("Every entry balances, and every closed month is as it was closed.")
    return 1 if wrong else 0
