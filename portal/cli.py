"""The command line: `python3 -m portal COMMAND …`.

A command is a module of `portal.commands` with a function `run(arguments) -> exit code`; it is
imported only when it is asked for, so that an estimate starts at once and on a bare Python.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from importlib import import_module

COMMANDS = {
    "estimate": "feet, product, hours and price of a house document",
    "migrate": "bring the database to the newest edition of its tables",
    "first-owner": "invite the first person of the office",
    "keys": "make, renew or show the keys that sign certificates",
    "check-qr": "check what the QR of a certificate says, without a network",
    "serve": "the portal, with the worker that sends its mail",
    "catalog": "collect every text that people read, for translators",
    "check-history": "compute every hash of the history again",
    "check-books": "add up all of the ledger again, and every month as it was closed",
}

USAGE = 2


def main(arguments: Sequence[str]) -> int:
    """Run the command named first; answers its exit code, 2 where there is no such command."""
    if not arguments:
        sys.stderr.write(_help())
        return USAGE
    command, *rest = arguments
    if command in ("-h", "--help", "help"):
        sys.stdout.write(_help())
        return 0
    if command not in COMMANDS:
        sys.stderr.write(f"no command {command!r}\n\n{_help()}")
        return USAGE
    run = import_module(f"portal.commands.{command.replace('-', '_')}").run
    code: int = run(rest)
    return code


def _help() -> str:
    width = max(map(len, COMMANDS))
    listed = "".join(f"  {name:<{width}}  {what}\n" for name, what in COMMANDS.items())
    return f"usage: python3 -m portal COMMAND ...\n\n{listed}\npython3 -m portal COMMAND --help says more.\n"
