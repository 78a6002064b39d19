"""`python3 -m portal estimate`: a house document in, its estimate out, as JSON.

Exit 0 with the answer on standard output. Exit 2, nothing on standard output and every problem
as JSON on standard error, where a document or the command line itself cannot be used. With
--many, a line that cannot be used is answered in its place, and the exit is 1 at the end.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from typing import BinaryIO, NoReturn, TypeVar

from portal.commands.written import as_line, as_sheet, bounded_lines, errors
from portal.core.errors import BadInput, Problem
from portal.core.estimate import CREW, PRODUCT, RATES, answer, estimate
from portal.core.jsontext import LARGEST_BYTES, parse_json, quoted
from portal.core.pricing.rates import Rates, read_rates
from portal.core.takeoff.house import House
from portal.core.takeoff.reading import read_house
from portal.core.treatment.crew import Crew, read_crew
from portal.core.treatment.product import Product, read_product
from portal.core.words import say

STANDARD_INPUT = "-"
SOME_BAD, BAD = 1, 2

Read = TypeVar("Read")


class _CommandLine(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        # As JSON too, so that a program that calls this one has one form of refusal to read.
        usage = " ".join(self.format_usage().split())
        raise BadInput([Problem("", say("{message}; {usage}", message=message, usage=usage))])


def run(arguments: Sequence[str]) -> int:
    """Estimate what `arguments` name; answers the exit code."""
    try:
        asked = _asked(arguments)
        return _one(asked) if asked.many is None else _many(asked)
    except BadInput as bad:
        sys.stderr.buffer.write(as_line({"errors": errors(bad.problems)}))
        return BAD
    except BrokenPipeError:
        # Whoever read the answers has had enough; Python would complain once more when it ends.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return SOME_BAD


def _asked(arguments: Sequence[str]) -> argparse.Namespace:
    line = _CommandLine(
        prog="python3 -m portal estimate",
        description=__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    line.add_argument(
        "house", nargs="?", metavar="HOUSE.json", help="a house document; - reads standard input"
    )
    line.add_argument(
        "--many", metavar="LINES.jsonl", help="one house a line in, one answer a line out, in order"
    )
    line.add_argument("--product", metavar="P.json", help="the product, where it is not the default")
    line.add_argument("--crew", metavar="C.json", help="the crew, where it is not the default")
    line.add_argument("--rates", metavar="R.json", help="the rates, where they are not the default")
    asked = line.parse_args(arguments)
    if (asked.house is None) == (asked.many is None):
        line.error("either a house file or --many is needed")
    if [asked.house, asked.many, asked.product, asked.crew, asked.rates].count(STANDARD_INPUT) > 1:
        line.error("standard input can be read only once")
    return asked


def _one(asked: argparse.Namespace) -> int:
    house = _tried(asked.house, "", read_house)
    options = _options(asked)
    _raise_all(house, *options)
    assert isinstance(house, House)
    sys.stdout.buffer.write(as_sheet(answer(estimate(house, *_usable(options)))))
    sys.stdout.buffer.flush()
    return 0


def _many(asked: argparse.Namespace) -> int:
    options = _usable(_options(asked))
    out, code = sys.stdout.buffer, 0
    with _opened(asked.many, "") as stream:
        for number, line in enumerate(bounded_lines(stream, LARGEST_BYTES), 1):
            if not line.strip():
                continue
            try:
                answered = answer(estimate(read_house(parse_json(line)), *options))
            except BadInput as bad:
                answered, code = {"line": number, "errors": errors(bad.problems)}, SOME_BAD
            out.write(as_line(answered))
    out.flush()
    return code


Options = tuple[Product | BadInput, Crew | BadInput, Rates | BadInput]


def _options(asked: argparse.Namespace) -> Options:
    return (
        _tried(asked.product, "product", read_product) if asked.product else PRODUCT,
        _tried(asked.crew, "crew", read_crew) if asked.crew else CREW,
        _tried(asked.rates, "rates", read_rates) if asked.rates else RATES,
    )


def _usable(options: Options) -> tuple[Product, Crew, Rates]:
    _raise_all(*options)
    product, crew, rates = options
    assert isinstance(product, Product) and isinstance(crew, Crew) and isinstance(rates, Rates)
    return product, crew, rates


def _raise_all(*tried: object) -> None:
    problems = [problem for one in tried if isinstance(one, BadInput) for problem in one.problems]
    if problems:
        raise BadInput(problems)


def _tried(file: str, at: str, read: Callable[[object], Read]) -> Read | BadInput:
    try:
        with _opened(file, at) as stream:
            data = stream.read(LARGEST_BYTES + 1)
        return read(parse_json(data, at))
    except BadInput as bad:
        return bad
    except OSError as wrong:
        return _unreadable(file, at, wrong)


def _opened(file: str, at: str) -> BinaryIO:
    if file == STANDARD_INPUT:
        return sys.stdin.buffer
    try:
        return open(file, "rb")  # the caller closes it
    except OSError as wrong:
        raise _unreadable(file, at, wrong) from None


def _unreadable(file: str, at: str, wrong: OSError) -> BadInput:
    return BadInput(
        [Problem(at, say("{file} cannot be read: {reason}", file=quoted(file), reason=wrong.strerror))]
    )
