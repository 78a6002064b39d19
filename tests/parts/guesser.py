"""A process that guesses at warranties: `python3 -m tests.parts.guesser DATABASE` reads tries, a line each.

A line is the number, the house number and the address it comes from, with tabs between. It answers a line
for each: found, missed or wait. One portal's process of several, on the store that they share.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
Guess = tuple[str, str, str]


def guess_in_processes(database: str, *tries: Iterable[Guess]) -> list[list[str]]:
    """Let a process each make these tries, side by side; what each of them was answered, in order."""
    command = [sys.executable, "-m", "tests.parts.guesser", database]
    running = [
        subprocess.Popen(command, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        for _ in tries
    ]
    for process in running:
        assert process.stdout is not None
        assert process.stdout.readline() == "ready\n"  # all are up before the first of them tries
    for process, lines in zip(running, tries, strict=True):
        assert process.stdin is not None
        process.stdin.write("".join("\t".join(line) + "\n" for line in lines))
        process.stdin.close()
    answers = [process.stdout.read().split() if process.stdout else [] for process in running]
    for process in running:
        if process.stdout is not None:
            process.stdout.close()
        assert process.wait(timeout=60) == 0
    return answers


def main(database: str) -> None:
    """Make the tries that come in."""
    from portal import wiring
    from portal.acts import covering
    from portal.core.errors import NotFound, TooManyTries
    from portal.settings import Settings

    with tempfile.TemporaryDirectory() as folder:
        settings = Settings(database, Path(folder), "s" * 40, "http://portal.example.com", worker=False)
        parts = wiring.build(settings)
        print("ready", flush=True)
        for line in sys.stdin:
            try:
                covering.find(parts, *line.rstrip("\n").split("\t"))
                print("found")
            except NotFound:
                print("missed")
            except TooManyTries:
                print("wait")
        parts.store.engine.dispose()


if __name__ == "__main__":
    main(sys.argv[1])
