"""`python3 -m portal keys`: the keys that sign certificates: made once, renewed, distrusted, shown."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence


def run(arguments: Sequence[str]) -> int:
    """Make or renew the keys where that is asked for, then show the public ones, the pair in use first."""
    parser = argparse.ArgumentParser(prog="python3 -m portal keys", description=__doc__)
    asked = parser.add_mutually_exclusive_group()
    asked.add_argument("--make", action="store_true", help="make the first pair; one that is there stays")
    asked.add_argument("--renew", action="store_true", help="make a pair that takes over from now on")
    leaked = "trust KEY no more: it may have leaked; where it is in use, a new pair takes over"
    asked.add_argument("--distrust", metavar="KEY", help=leaked)
    parser.add_argument("--firm", default="", help="the name on a new certificate; else the portal's host")
    what = parser.parse_args(arguments)

    from urllib.parse import urlsplit

    from portal import wiring
    from portal.core.errors import Refused
    from portal.sealing import Keys
    from portal.settings import BadSettings, from_environment

    try:
        settings = from_environment()
    except BadSettings as bad:
        print(bad, file=sys.stderr)
        return 2
    keys = Keys(settings.key_folder)
    firm = what.firm or urlsplit(settings.base_url).hostname or "Sillbook"
    try:
        took_over = keys.distrust(what.distrust, firm, wiring.now()) if what.distrust else None
    except Refused as refused:
        print(refused, file=sys.stderr)
        return 1
    if took_over:
        print(f"Key {took_over} takes over.", file=sys.stderr)
    if what.renew:
        keys.renew(firm, wiring.now())
    elif what.make:
        keys.make(firm, wiring.now())
    if not keys.exist():
        print(f"No key in {keys.folder}. Make one: python3 -m portal keys --make", file=sys.stderr)
        return 1
    for i, pair in enumerate(keys.known()):
        until = f"in use, signs until {pair.certificate.not_valid_after_utc:%Y-%m-%d}" if not i else "kept"
        until = f"not trusted since {pair.distrusted}" if pair.distrusted else until
        print(f"{pair.name}  {until}\nSHA-256 of its certificate: {pair.sha256}\n{pair.told}")
    return 0
