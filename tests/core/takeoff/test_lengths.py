"""Lengths as people write them."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from portal.core.jsontext import Numeral
from portal.core.takeoff.lengths import read_length
from tests.core.houses import wrong

SAME = [
    "32' 6\"",
    "32'-6\"",
    "32'6\"",
    "32 ft 6 in",
    "32-6",
    "32 1/2'",
    "32.5",
    "32.5 ft",
    '390"',
    "390 in",
    "32′ 6″",
    "32’ 6”",
    "32‘6“",
    "32'6''",
    "32 feet 6 inches",
    '32-6"',
    "  32.5  ",
    "32 FT 6 IN",
    "32'\t6\"",
    "32 ' - 6 \"",
    "0032.50",
    "32 foot 6 inch",
    "32 ft. 6 in.",
    "32'- 6.0\"",
    "32\u00a0ft\u20096\u00a0in",
    "32 2/4'",
    "9.906 m",
    "990.6 cm",
    "9906 mm",
    "9906MM",
    32.5,
    Decimal("32.50"),
    Fraction(65, 2),
    Numeral("3.25e1"),
]

OTHERS = {
    "32'6 1/2\"": Fraction(781, 24),
    "32-6 1/2": Fraction(781, 24),
    "32' 6.5\"": Fraction(781, 24),
    '78 1/2"': Fraction(157, 24),
    "32' 0 1/2\"": 32 + Fraction(1, 24),
    "32' 1/2\"": 32 + Fraction(1, 24),
    '6 1 / 3"': Fraction(19, 36),
    ".5": Fraction(1, 2),
    "32'": 32,
    "5000": 5000,
    "0.001": Fraction(1, 1000),
    "9.75 m": Fraction(97500, 3048),
    "11' 11 15/16\"": 12 - Fraction(1, 192),
    f"32 {' ' * 90}ft": 32,
    f"0.{'3' * 38} ft": Fraction(int("3" * 38), 10**38),
    Numeral("1e3"): 1000,
    Numeral("0.1"): Fraction(1, 10),
    7: 7,
}

NO_LENGTHS = [
    "32 6",
    "+5",
    "32.5' 6\"",
    "5 3/2'",
    "1,000",
    "32,5",
    "1e3",
    "",
    "   ",
    "'",
    "ft",
    "5.",
    "32'6",
    "1/2",
    "5 2/2'",
    "1/0'",
    "32' 12\"",
    "32-12",
    "12' 11 3/2\"",
    "3 2'",
    "--5",
    "32'-",
    "5 m 20 cm",
    "9 3/4 m",
    "32\" 6'",
    "٣٢",
    "３２",
    "32½'",
    "1_000",
    "0x20",
    "inf",
    "nan",
    "thirty",
    "5 yd",
    "32-1/2",
    "32' 6\" 1/2",
    "6'6'",
    "1 1 1/2'",
    "1/2/3'",
    True,
    False,
    None,
    [],
    [32],
    {},
    {"ft": 32},
    float("nan"),
    float("inf"),
    Numeral("1e999999999"),
    1j,
]


@pytest.mark.parametrize("written", SAME, ids=repr)
def test_thirty_two_and_a_half_feet_can_be_written_in_many_ways(written: object) -> None:
    assert read_length(written) == Fraction(65, 2)


@pytest.mark.parametrize(("written", "feet"), OTHERS.items(), ids=repr)
def test_a_length_is_read_exactly(written: object, feet: Fraction) -> None:
    assert read_length(written) == feet


@pytest.mark.parametrize("written", NO_LENGTHS, ids=repr)
def test_what_is_no_length_is_refused(written: object) -> None:
    assert [at for at, _ in wrong(lambda: read_length(written))] == [""]


@pytest.mark.parametrize(
    "written", ["0", "0'", 0, -5, "-5", "-5' 6\"", "5000.01", 5001, "2 km", "0.0009", '0.01"']
)
def test_a_refusal_says_what_was_read(written: object) -> None:
    ((_, says),) = wrong(lambda: read_length(written))

    assert str(written) in says


@pytest.mark.parametrize(
    ("written", "says"),
    [
        ("46' 14\"", "“46' 14\"” has 14 in behind the feet; inches there are under 12"),
        ("46-12 1/2", "“46-12 1/2” has 12 1/2 in behind the feet; inches there are under 12"),
        ("-5", "“-5” is negative; a length here must not be"),
        ("0", "“0” is no length here; it must be over zero"),
        ("1600 m", "“1600 m” is over 5,000 ft, the most for one length"),
        ("0.01\"", "“0.01\"” is under 0.001 ft, the least for one length"),
        ("46,5", "“46,5” is not a length; write it like 32' 6\", 32.5 ft or 9.75 m"),
    ],
)  # fmt: skip
def test_a_refusal_says_what_is_wrong_and_what_would_be_right(written: str, says: str) -> None:
    assert wrong(lambda: read_length(written)) == [("", says)]


def test_nothing_is_a_length_only_where_it_may_be() -> None:
    assert read_length("0", zero=True) == 0 and read_length(0, signed=True) == 0


@pytest.mark.parametrize(
    ("written", "feet"), {"-32-6": Fraction(-65, 2), "- 5'": -5, -7: -7, "-5000": -5000}.items()
)
def test_a_minus_negates_the_whole_where_a_side_of_the_origin_is_meant(
    written: object, feet: Fraction
) -> None:
    assert read_length(written, signed=True) == feet


@pytest.mark.parametrize("written", ["-5000.1", "-0.0005", 5001, "-"])
def test_the_limits_of_a_length_hold_on_both_sides_of_the_origin(written: object) -> None:
    assert wrong(lambda: read_length(written, signed=True))


def test_forty_characters_can_be_a_length_and_forty_one_cannot() -> None:
    forty = "1." + "0" * 37 + "1"

    assert (
        read_length(forty)
        == 1 + Fraction(1, 10**38)
        == read_length(Numeral(forty))
        == read_length(f"  {forty} ")
    )
    assert wrong(lambda: read_length(forty + "1")) and wrong(lambda: read_length(Numeral(forty + "1")))


def test_a_refusal_quotes_no_more_than_sixty_characters_and_no_control_character() -> None:
    ((_, says),) = wrong(lambda: read_length("\a" + "x" * 1_000_000))

    assert "“\\x07xxx" in says and "\a" not in says and len(says) < 130
