"""`python3 -m portal check-qr TEXT --keys FILE`: check a certificate's or notice's QR without a network.

FILE holds the office's public keys, as the page "Is it real?" hands them out, or `python3 -m portal keys`
prints them. With the four lines of the lot as the certificate prints them (--lot, four times), the lot is
checked too. Whether the warranty still holds, only the page can say.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path


def run(arguments: Sequence[str]) -> int:
    """Exit code 0: signed by one of these keys (and for this lot); 1: not, or the key is not
    trusted any more; 2: cannot be read."""
    parser = argparse.ArgumentParser(prog="python3 -m portal check-qr", description=__doc__,
                                     formatter_class=argparse.RawDescriptionHelpFormatter)  # fmt: skip
    parser.add_argument("text", help="what was scanned, the whole address or what stands behind its #")
    parser.add_argument("--keys", type=Path, required=True, help="a file with the office's public keys")
    lines = "house number and street; town, state and postal code; lot; subdivision"
    parser.add_argument("--lot", action="append", default=[], metavar="LINE", help=lines)
    asked = parser.parse_args(arguments)

    from portal.core.cover.codes import mark_of, read_code
    from portal.core.errors import BadInput
    from portal.sealing.public import check_code, distrusted_in, read_keys

    try:
        said = asked.keys.read_text()
        code, keys = read_code(asked.text), read_keys(said)
    except (BadInput, OSError, UnicodeDecodeError) as bad:
        print(bad, file=sys.stderr)
        return 2
    if not check_code(keys, code):
        print(f"Not signed by any of the {len(keys)} keys in {asked.keys}.", file=sys.stderr)
        return 1
    if since := distrusted_in(said).get(code.key):
        print(f"Signed by key {code.key}, which the office does not trust since {since}:", file=sys.stderr)
        print("somebody else may have signed this. Only the office's page can tell.", file=sys.stderr)
        return 1
    if asked.lot and mark_of(tuple(asked.lot)) != code.lot:
        print("Signed, but for another lot than these lines say.", file=sys.stderr)
        return 1
    of = "begun" if code.paper == "certificate" else "of the house treated"
    print(f"Warranty {code.number}, {of} {code.day}, lot {code.lot}: signed by key {code.key}.")
    return 0
