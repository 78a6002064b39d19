"""`python3 -m portal check-history`: compute every hash of the history again."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence


def run(arguments: Sequence[str]) -> int:
    """Exit 0 where the chain is whole, 1 where a line was changed, left out or put in."""
    argparse.ArgumentParser(prog="python3 -m portal check-history", description=__doc__).parse_args(arguments)

    from portal.acts import upkeep
    from portal.commands.opened import opened
    from portal.settings import BadSettings

    try:
        broken = upkeep.broken_link(opened())
    except BadSettings as bad:
        print(bad, file=sys.stderr)
        return 2
    if broken is not None:
        print(f"The history does not fit from line {broken} on.", file=sys.stderr)
        return 1
    print("Every line of the history fits the one before.")
    return 0
