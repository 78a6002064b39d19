"""`python3 -m portal first-owner NAME MAIL`: invite the first person, who can then invite everybody else."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence


def run(arguments: Sequence[str]) -> int:
    """Invite an owner by mail, and print the link for an office whose mail is not set up yet."""
    parser = argparse.ArgumentParser(prog="python3 -m portal first-owner", description=__doc__)
    parser.add_argument("name")
    parser.add_argument("mail")
    asked = parser.parse_args(arguments)

    from portal.acts import people
    from portal.acts.parts import SYSTEM
    from portal.commands.opened import opened
    from portal.core.errors import SillbookError
    from portal.settings import BadSettings

    try:
        parts = opened()
        person = people.invite(parts, SYSTEM, "office", asked.name, asked.mail, owner=True)
    except (BadSettings, SillbookError) as bad:
        print(bad, file=sys.stderr)
        return 2
    print(parts.links.invitation(parts.tokens.make("invitation", {"person": person, "turn": 0})))
    return 0
