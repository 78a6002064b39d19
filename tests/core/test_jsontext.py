"""Documents from outside are read strictly, and refused at once where they cannot be meant."""

from __future__ import annotations

import time

import pytest

from portal.core.jsontext import LARGEST_BYTES, Numeral, parse_json, quoted
from tests.core.houses import wrong


def test_numbers_keep_what_was_written() -> None:
    assert parse_json('{"a": 32.50, "b": 1e999999999, "c": -4, "d": "1.5"}') == {
        "a": Numeral("32.50"),
        "b": Numeral("1e999999999"),
        "c": -4,
        "d": "1.5",
    }


def test_a_number_of_many_digits_is_no_more_than_text() -> None:
    assert parse_json("9" * 900_000) == Numeral("9" * 900_000)


def test_a_byte_order_mark_is_fine() -> None:
    assert parse_json(b"\xef\xbb\xbf[1]") == [1] == parse_json("\ufeff[1]")


@pytest.mark.parametrize(
    "text",
    [
        b"",
        b"  ",
        b"{",
        b"[1] [2]",
        b'{"a": 1} x',
        b'{"a": NaN}',
        b"[Infinity]",
        b"[-Infinity]",
        b'{"a": 1, "b": 2, "a": 1}',
        b'{"x": [{"a": 1, "a": 2}]}',
        b'["\xff"]',
        '["ü"]'.encode("utf-16"),
        b"[01]",
        b"[.5]",
        b"[+5]",
        b"[1,]",
        b"{'a': 1}",
        b'["\n"]',
        b"[" * 400_000,
        b'{"a":' * 150_000,
        b" " * (LARGEST_BYTES + 1),
    ],
    ids=lambda text: repr(text[:20]),
)
def test_what_is_not_one_json_value_is_refused_as_a_whole(text: bytes) -> None:
    assert [at for at, _ in wrong(lambda: parse_json(text))] == [""]


def test_a_refusal_is_at_the_path_it_was_asked_for() -> None:
    assert [at for at, _ in wrong(lambda: parse_json("nope", at="rates"))] == ["rates"]


def test_a_key_that_stands_twice_is_named() -> None:
    ((_, says),) = wrong(lambda: parse_json('{"width": 1, "width": 1}'))

    assert "“width”" in says


def test_a_million_bytes_are_read_and_one_more_is_not() -> None:
    assert parse_json(b'"' + b"x" * (LARGEST_BYTES - 2) + b'"') == "x" * (LARGEST_BYTES - 2)
    assert wrong(lambda: parse_json(b'"' + b"x" * (LARGEST_BYTES - 1) + b'"'))


def test_a_bomb_is_refused_at_once() -> None:
    start = time.perf_counter()

    wrong(lambda: parse_json(b"[" * LARGEST_BYTES))

    assert time.perf_counter() - start < 1


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        ("5 yd", "“5 yd”"),
        (Numeral("1e9"), "1e9"),
        (None, "null"),
        (True, "true"),
        ([1, "a", [], {"b": None}], "[1, “a”, [], {“b”: null}]"),
        ("a\nb\x7f\u202e\ud800", "“a\\nb\\x7f\\u202e\\ud800”"),
        ("x" * 60, f"“{'x' * 60}”"),
        ("x" * 61, f"“{'x' * 60}…”"),
    ],
    ids=repr,
)
def test_what_was_read_is_shown_cut_and_escaped(value: object, shown: str) -> None:
    assert quoted(value) == shown


def test_a_number_too_long_to_print_is_not_printed() -> None:
    assert quoted(10**5000) == "a very long number"


def test_a_list_that_holds_itself_can_be_quoted() -> None:
    endless: list[object] = []
    endless.append(endless)

    assert quoted(endless) == "[[[…]]]"
