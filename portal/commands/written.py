"""How commands read lines and write JSON: UTF-8 whatever the terminal is set to."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from typing import BinaryIO

from portal.core.errors import Problem

_compact = json.JSONEncoder(ensure_ascii=False, check_circular=False, separators=(", ", ": "))


def as_line(value: object) -> bytes:
    """`value` as JSON on one line."""
    return _compact.encode(value).encode() + b"\n"


def as_sheet(value: object) -> bytes:
    """`value` as JSON laid out for people."""
    return json.dumps(value, ensure_ascii=False, indent=2).encode() + b"\n"


def errors(problems: Iterable[Problem]) -> list[dict[str, str]]:
    """Problems as a document: where, and what is wrong in plain words."""
    return [{"at": problem.at, "says": str(problem.says)} for problem in problems]


def bounded_lines(stream: BinaryIO, limit: int) -> Iterator[bytes]:
    """The lines of `stream` without their ends; one of more than `limit` bytes comes cut just beyond it."""
    while line := stream.readline(limit + 2):
        rest = line
        while rest and not rest.endswith(b"\n"):
            rest = stream.readline(limit)
        yield line.removesuffix(b"\n").removesuffix(b"\r")
