"""Documents from outside, read strictly: what the JSON text says, exactly, or why it is refused."""

from __future__ import annotations

import json
from typing import NoReturn

from portal.core.errors import BadInput, Problem
from portal.core.words import Said, say

LARGEST_BYTES = 1_000_000
QUOTED_CHARACTERS = 60
_SHORT_WHOLE = 18


class Numeral(str):
    """A JSON number kept as it was written, so that it never passes through a float.

    Short whole numbers are read as `int`; everything else stays text, because `1e999999999`
    must cost nothing and an error must be able to say what was read.
    """

    __slots__ = ()


class _Unreadable(Exception):
    def __init__(self, says: Said) -> None:
        self.says = says


def _whole(text: str) -> int | Numeral:
    return int(text) if len(text) <= _SHORT_WHOLE else Numeral(text)


def _not_a_number(text: str) -> NoReturn:
    raise _Unreadable(say("this is not JSON: {read} is not a number", read=text))


def _object(pairs: list[tuple[str, object]]) -> dict[str, object]:
    found = dict(pairs)
    if len(found) != len(pairs):
        seen: set[str] = set()
        twice = next(key for key, _ in pairs if key in seen or seen.add(key))  # type: ignore[func-returns-value]
        raise _Unreadable(say("the key {read} stands twice in one object", read=quoted(twice)))
    return found


_decoder = json.JSONDecoder(
    object_pairs_hook=_object, parse_float=Numeral, parse_int=_whole, parse_constant=_not_a_number
)


def parse_json(data: bytes | str, at: str = "") -> object:
    """The one JSON value in `data`; numbers come as `int` or `Numeral`.

    `at` is the path that an error is given. Raises `BadInput` for more than a million bytes, bytes
    that are not UTF-8 (a byte order mark is fine), NaN and the infinities, a key that stands twice,
    a second value, or nesting deeper than the interpreter can follow.
    """
    try:
        return _decoder.decode(_text(data))
    except _Unreadable as refused:
        says = refused.says
    except json.JSONDecodeError as wrong:
        says = say(
            "this is not JSON, at line {line}, column {column}: {reason}",
            line=wrong.lineno,
            column=wrong.colno,
            reason=wrong.msg,
        )
    except RecursionError:
        says = say("this is nested too deeply")
    raise BadInput([Problem(at, says)])


def _text(data: bytes | str) -> str:
    if len(data) > LARGEST_BYTES:
        raise _Unreadable(say("this is larger than {limit} bytes", limit=f"{LARGEST_BYTES:,}"))
    if isinstance(data, str):
        return data.removeprefix("\ufeff")
    try:
        return data.decode().removeprefix("\ufeff")
    except UnicodeDecodeError as wrong:
        raise _Unreadable(say("this is not UTF-8, at byte {position}", position=wrong.start + 1)) from None


def quoted(value: object) -> str:
    """What was read, as an error shows it: cut at 60 characters, what cannot be seen escaped."""
    if isinstance(value, str) and not isinstance(value, Numeral):
        return f"“{_cut(value)}”"
    return _cut("".join(_pieces(value, 0)))


def key_shown(key: object) -> str:
    """A key as it stands in a path: like `quoted`, without the quotation marks."""
    return _cut(str(key))


def _cut(text: str) -> str:
    shown = ""
    for character in text[: QUOTED_CHARACTERS + 1]:
        escaped = character if character.isprintable() else character.encode("unicode_escape").decode()
        if len(shown) + len(escaped) > QUOTED_CHARACTERS:
            return shown + "…"
        shown += escaped
    return shown


def _pieces(value: object, depth: int) -> list[str]:
    # Only as much of a list or an object as can be shown: a refused one may be as large as the file.
    if value is None or isinstance(value, bool):
        return [json.dumps(value)]
    if isinstance(value, list | tuple):
        inner = [_part(item, depth) for item in value[:QUOTED_CHARACTERS]]
        return ["[", ", ".join(inner), "]"]
    if isinstance(value, dict):
        few = [key for key, _ in zip(value, range(QUOTED_CHARACTERS), strict=False)]
        return [
            "{",
            ", ".join(f"“{str(key)[:QUOTED_CHARACTERS]}”: {_part(value[key], depth)}" for key in few),
            "}",
        ]
    if isinstance(value, int) and value.bit_length() > 10_000:
        return ["a very long number"]
    return [str(value)[: QUOTED_CHARACTERS + 1]]


def _part(value: object, depth: int) -> str:
    if isinstance(value, list | tuple | dict) and depth >= 2:
        return "…"
    if isinstance(value, str) and not isinstance(value, Numeral):
        return f"“{value[:QUOTED_CHARACTERS]}”"
    return "".join(_pieces(value, depth + 1))
