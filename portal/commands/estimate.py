"""`python3 -m portal estimate`: a house document in, its estimate out, as JSON.

Exit 0 with the answer on standard output. Exit 2, nothing on standard output and every problem
as JSON on standard error, where a document or the command line itself cannot be used. With
--many, a line that cannot be used is answered in its place, and the exit is 1 at the end.
"""

from __future__ import annotations

import argparse
import errno
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from typing import BinaryIO, NoReturn, TextIO, TypeVar

from portal.commands.written import as_line, as_sheet, bounded_lines, errors
from portal.core.errors import BadInput, Problem
from portal.core.estimate import CREW, PRODUCT, RATES, answer, estimate
from portal.core.jsontext import LARGEST_BYTES, parse_json, quoted
from portal.core.pricing.rates import Rates, read_rates
from portal.core.takeoff.house import House
from portal.core.takeoff.reading import read_house
from portal.core.treatment.crew import Crew, read_crew
from portal.core.treatment.product import Product, read_product
from portal.core.words import Said, say

STANDARD_INPUT = "-"
SOME_BAD, BAD = 1, 2

Read = TypeVar("Read")


class _CommandLine(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        # As JSON too, so that a program that calls this one has one form of refusal to read.
        usage = " ".join(self.format_usage().split())
        raise BadInput([Problem("", say("{message}; {usage}", message=message, usage=usage))])

    def parse_args(self, arguments: Sequence[str]) -> argparse.Namespace:  # type: ignore[override]
        # What is not known is quoted like any other input: it may be long, or no text at all.
        asked, unknown = self.parse_known_args(arguments)
        if unknown:
            self.error(str(say("unknown argument {read}", read=quoted(unknown[0]))))
        return asked


def run(arguments: Sequence[str]) -> int:
    """Estimate what `arguments` name; answers the exit code."""
    try:
        asked = _asked(arguments)
        return _one(asked) if asked.many is None else _many(asked)
    except BadInput as bad:
        return _refused(bad)
    except BrokenPipeError:
        _written_no_more()  # whoever read the answers has had enough
        return SOME_BAD
    except OSError as wrong:
        _written_no_more()
        return _refused(_not_possible(say("the answer cannot be written: {reason}", reason=wrong.strerror)))


def _refused(bad: BadInput) -> int:
    if sys.stderr is not None:
        sys.stderr.buffer.write(as_line({"errors": errors(bad.problems)}))
    return BAD


def _written_no_more() -> None:
    # Else Python would try once more when it ends, and complain.
    if sys.stdout is not None:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _not_possible(says: Said, at: str = "") -> BadInput:
    return BadInput([Problem(at, says)])


def _standard(stream: TextIO | None) -> BinaryIO:
    # Python has none where the program that called this one closed it.
    if stream is None:
        raise OSError(errno.EBADF, os.strerror(errno.EBADF))
    return stream.buffer


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
    answered = as_sheet(answer(estimate(house, *_usable(options))))
    out = _standard(sys.stdout)
    out.write(answered)
    out.flush()
    return 0


def _many(asked: argparse.Namespace) -> int:
    lines, options = _stream(asked.many), _options(asked)
    _raise_all(lines, *options)
    assert not isinstance(lines, BadInput)
    usable, code, out = _usable(options), 0, _standard(sys.stdout)
    for number, line in _lines(lines, asked.many):
        if not line.strip():
            continue
        try:
            answered = answer(estimate(read_house(parse_json(line)), *usable))
        except BadInput as bad:
            answered, code = {"line": number, "errors": errors(bad.problems)}, SOME_BAD
        out.write(as_line(answered))
    out.flush()
    return code


def _stream(file: str) -> BinaryIO | BadInput:
    try:
        return _opened(file, "")
    except BadInput as bad:
        return bad


def _lines(stream: BinaryIO, file: str) -> Iterator[tuple[int, bytes]]:
    try:
        with stream:
            yield from enumerate(bounded_lines(stream, LARGEST_BYTES), 1)
    except OSError as wrong:
        raise _unreadable(file, "", wrong) from None


Options = tuple[Product | BadInput, Crew | BadInput, Rates | BadInput]


def _options(asked: argparse.Namespace) -> Options:
    return (
        _tried(asked.product, "product", read_product) if asked.product is not None else PRODUCT,
        _tried(asked.crew, "crew", read_crew) if asked.crew is not None else CREW,
        _tried(asked.rates, "rates", read_rates) if asked.rates is not None else RATES,
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
    try:
        return _standard(sys.stdin) if file == STANDARD_INPUT else open(file, "rb")  # the caller closes it
    except OSError as wrong:
        raise _unreadable(file, at, wrong) from None


def _unreadable(file: str, at: str, wrong: OSError) -> BadInput:
    return _not_possible(say("{file} cannot be read: {reason}", file=quoted(file), reason=wrong.strerror), at)
