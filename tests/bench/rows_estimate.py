"""Rows of the engine: how far exactness, checking and explaining are from bare sums, and a cold start."""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.bench import bare_sums
from tests.bench.harness import Pair, row
from tests.bench.houses import house

ROOT = Path(__file__).resolve().parents[2]


def run(*words: str | Path) -> bytes:
    """A fresh Python with these words; what it printed."""
    ran = subprocess.run([sys.executable, *words], cwd=ROOT, capture_output=True)
    if ran.returncode:
        raise RuntimeError(f"{words} failed:\n{ran.stderr.decode()}")
    return ran.stdout


@row("1,000 estimates through --many", against="the same sums in bare integers", aim=8)
def many_estimates() -> Iterator[Pair]:
    """Both read the same file in a fresh process and print a line a house."""
    with tempfile.TemporaryDirectory(prefix="sillbook-bench-") as folder:
        houses = Path(folder) / "houses.jsonl"
        houses.write_text("".join(json.dumps(house(number)) + "\n" for number in range(1000)))
        floor = str(bare_sums.__file__)
        yield Pair(
            floor=lambda: run(floor, houses),
            subject=lambda: run("-m", "portal", "estimate", "--many", houses),
            turns=7,
        )


@row("an estimate from a cold command line", against="python3 -c pass", aim=12)
def cold_estimate() -> Iterator[Pair]:
    """One small house; nearly all of it is starting the interpreter and importing."""
    with tempfile.TemporaryDirectory(prefix="sillbook-bench-") as folder:
        one = Path(folder) / "house.json"
        one.write_text(json.dumps(house(0)))
        yield Pair(
            floor=lambda: run("-c", "pass"), subject=lambda: run("-m", "portal", "estimate", one), turns=21
        )
