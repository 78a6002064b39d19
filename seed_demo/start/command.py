"""The outer half of `python3 -m seed_demo`: make everything ready, then go on inside the environment."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

from seed_demo.start import environment, native
from seed_demo.start.telling import CannotStart

ROOT = Path(__file__).resolve().parents[2]


def arguments() -> argparse.ArgumentParser:
    """What the command takes; the inner half reads the same."""
    says = "Make Sillbook ready, load the demo and serve it on this machine."
    parser = argparse.ArgumentParser(prog="python3 -m seed_demo", description=says)
    parser.add_argument("--port", type=int, default=8000, help="the port of 127.0.0.1 to serve on (8000)")
    parser.add_argument("--fresh", action="store_true", help="throw the demo's data away and load it anew")
    parser.add_argument("--no-serve", action="store_true", help="make everything ready, then stop")
    return parser


def main(argv: list[str]) -> int:
    """Prepare, then become the inner half. Gives an exit code only when something is in the way."""
    arguments().parse_args(argv)
    try:
        python = environment.ready(ROOT, "run")
        native.need_text_library()
    except (CannotStart, OSError) as why:  # OSError: a full disk, a folder that may not be written
        print(why, file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("\nStopped. The next start goes on from a clean place.", file=sys.stderr)
        return 130
    os.chdir(ROOT)
    os.execve(python, [str(python), "-m", "seed_demo.start.serve", *argv], environment.clean())
