"""Warranty numbers against an independent library and published examples, and the days of a term."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum.iso7064 import mod_11_10, mod_37_36

from portal.core.cover.numbers import (
    ALPHABET,
    BODY,
    check_character,
    house_number_key,
    make_number,
    read_number,
    shown,
)
from portal.core.cover.terms import ends_on
from portal.core.errors import BadInput

DIGITS, LETTERS = "0123456789", "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
bodies = st.text(ALPHABET, min_size=BODY, max_size=BODY)


@given(st.text(DIGITS, min_size=1, max_size=30))
def test_over_ten_digits_it_is_mod_11_10_as_an_independent_library_has_it(body: str) -> None:
    """python-stdnum, ISO/IEC 7064 MOD 11,10."""
    assert check_character(body, DIGITS) == mod_11_10.calc_check_digit(body)


@given(st.text(LETTERS, min_size=1, max_size=30))
def test_over_letters_and_digits_it_is_mod_37_36_as_an_independent_library_has_it(body: str) -> None:
    """python-stdnum, ISO/IEC 7064 MOD 37,36."""
    assert check_character(body, LETTERS) == mod_37_36.calc_check_digit(body)


@given(bodies)
def test_over_our_thirty_characters_it_is_the_same_library_with_our_alphabet(body: str) -> None:
    assert check_character(body) == mod_37_36.calc_check_digit(body, alphabet=ALPHABET)


@pytest.mark.parametrize(
    ("whole", "alphabet", "source"),
    [
        # As the documentation of python-stdnum prints them.
        ("794623", DIGITS, "stdnum.iso7064.mod_11_10"),
        ("002006673085", DIGITS, "stdnum.iso7064.mod_11_10"),
        ("A12425GABC1234002M", LETTERS, "stdnum.iso7064.mod_37_36"),
    ],
)
def test_published_numbers_check(whole: str, alphabet: str, source: str) -> None:
    assert check_character(whole[:-1], alphabet) == whole[-1], source


def test_the_alphabet_has_no_look_alikes_and_a_prime_beyond_it() -> None:
    assert len(ALPHABET) == len(set(ALPHABET)) == 30
    assert not set("O0I1LU") & set(ALPHABET)
    assert all((len(ALPHABET) + 1) % n for n in range(2, 31))  # 31 is prime


@given(bodies, st.integers(0, BODY), st.sampled_from(ALPHABET))
def test_every_single_wrong_character_is_caught(body: str, place: int, other: str) -> None:
    bare = body + check_character(body)
    wrong = bare[:place] + other + bare[place + 1 :]

    if wrong != bare:
        with pytest.raises(BadInput, match="is mistyped"):
            read_number(wrong)


@given(bodies, st.integers(0, BODY - 1))
def test_every_swap_of_neighbors_is_caught(body: str, place: int) -> None:
    bare = body + check_character(body)
    swapped = bare[:place] + bare[place + 1] + bare[place] + bare[place + 2 :]

    if swapped != bare:
        with pytest.raises(BadInput):
            read_number(swapped)


def test_all_wrong_characters_and_all_swaps_of_one_number_are_caught() -> None:
    bare = "7KM2PQR9XZ" + check_character("7KM2PQR9XZ")
    wrong = {bare[:i] + c + bare[i + 1 :] for i in range(len(bare)) for c in ALPHABET} - {bare}
    wrong |= {bare[:i] + bare[i + 1] + bare[i] + bare[i + 2 :] for i in range(len(bare) - 1)} - {bare}

    assert len(wrong) == 11 * 29 + 10
    for typed in wrong:
        with pytest.raises(BadInput):
            read_number(typed)


@given(bodies)
def test_a_number_is_read_however_it_is_typed(body: str) -> None:
    number = shown(body + check_character(body))

    assert len(number) == 13
    for typed in (number, number.lower(), number.replace("-", ""), f" {number.replace('-', ' ')}."):
        assert read_number(typed) == number


@pytest.mark.parametrize(
    "typed", ["", "ABCD", "ABCD-EFGH-JKMN", "ABCD-EFGH-JKO", "ABCD-EFGH-JK1", "ÄBCD-EFGH-JKM"]
)
def test_what_is_no_number_is_told_what_one_looks_like(typed: str) -> None:
    with pytest.raises(BadInput, match="A warranty number has 11 letters and digits"):
        read_number(typed)


def test_a_new_number_uses_every_draw() -> None:
    drawn = iter([0, 29, 1, 28, 2, 27, 3, 26, 4, 25])

    number = make_number(lambda most: next(drawn) % most)

    assert number.replace("-", "")[:-1] == "2Z3Y4X5W6V"
    assert read_number(number) == number


@pytest.mark.parametrize("typed", ["12-B", "12 b", " 12b ", "12/B", "#12B"])
def test_a_house_number_is_compared_without_its_dress(typed: str) -> None:
    assert house_number_key(typed) == "12B"


@pytest.mark.parametrize(
    ("begins", "years", "ends"),
    [
        (date(2027, 5, 4), 1, date(2028, 5, 3)),
        (date(2027, 5, 4), 10, date(2037, 5, 3)),
        (date(2027, 1, 1), 1, date(2027, 12, 31)),
        (date(2028, 2, 29), 1, date(2029, 2, 28)),
        (date(2028, 2, 29), 4, date(2032, 2, 28)),
        (date(2027, 3, 1), 1, date(2028, 2, 29)),
        (date(2027, 5, 4), None, None),
    ],
)
def test_a_term_of_whole_years_ends_the_day_before_its_anniversary(
    begins: date, years: int | None, ends: date | None
) -> None:
    assert ends_on(begins, years) == ends


@given(st.dates(date(2000, 1, 1), date(2400, 1, 1)), st.integers(1, 100))
def test_a_term_is_never_a_day_short_of_its_years_of_365_days(begins: date, years: int) -> None:
    ends = ends_on(begins, years)

    assert ends is not None
    assert timedelta(days=365 * years) <= ends - begins + timedelta(days=1) <= timedelta(days=366 * years)
