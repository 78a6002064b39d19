"""`python3 -m tests bench [--million] [--json FILE] [word ...]`: measure the rows, or those with a word."""

from __future__ import annotations

import argparse
import json
import pkgutil
import sys
import traceback
from importlib import import_module
from pathlib import Path

import tests.bench
from tests.bench.harness import ROWS, Result, Row, measure


def main(argv: list[str]) -> int:
    """Print a line a row as it is measured. 1 where a row could not be run; a missed aim is no failure."""
    asked = arguments().parse_args(argv)
    load_rows()
    results: list[Result] = []
    broken = 0
    named = [row for row in ROWS if all(word.lower() in row.name.lower() for word in asked.words)]
    chosen = [row for row in named if asked.million or not row.million]
    print("Ratios to a floor measured in the same run; the middle one of several, and its quarters.")
    for row in chosen:
        try:
            results.append(measure(row))
            print(line(results[-1]), flush=True)
        except Exception:
            broken += 1
            traceback.print_exc()
            print(f"  {row.name}: could not be measured", flush=True)
    for row in named:
        if row not in chosen:
            print(f"  left out, with --million it is measured: {row.name}")
    if asked.json:
        asked.json.write_text(json.dumps([as_json(result) for result in results], indent=2) + "\n")
    within = sum(result.within for result in results)
    print(f"{within} of {len(chosen)} within their aim" + (f", {broken} not measured" if broken else ""))
    return 1 if broken or not chosen else 0


def arguments() -> argparse.ArgumentParser:
    """What the benchmark takes."""
    parser = argparse.ArgumentParser(prog="python3 -m tests bench")
    parser.add_argument("--json", type=Path, metavar="FILE", help="write the ratios to FILE as well")
    million = "the rows of a million records too: minutes more, and some gigabytes of the temporary folder"
    parser.add_argument("--million", action="store_true", help=million)
    parser.add_argument("words", nargs="*", help="only rows whose names hold all of these words")
    return parser


def load_rows() -> None:
    """Import every rows_*.py of this folder, in order of name; each registers what it has."""
    for found in sorted(pkgutil.iter_modules(tests.bench.__path__), key=lambda module: module.name):
        if found.name.startswith("rows_"):
            import_module(f"tests.bench.{found.name}")


def line(result: Result) -> str:
    """One row as people read it."""
    row = result.row
    measured = f"{result.ratio:8.2f}x  {f'({result.low:.2f} to {result.high:.2f})':18}  aim {row.aim:g}x"
    return f"  {measured}  {row.name}, against {row.against}: {result.says}"


def as_json(result: Result) -> dict[str, object]:
    """One row as a program reads it."""
    row: Row = result.row
    return {
        "name": row.name,
        "against": row.against,
        "aim": row.aim,
        "ratio": round(result.ratio, 3),
        "low": round(result.low, 3),
        "high": round(result.high, 3),
        "within": result.within,
        "says": result.says,
    }


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
