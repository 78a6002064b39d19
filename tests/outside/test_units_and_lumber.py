"""Units and lumber sizes as the standards give them, read through the lengths of the house document."""

from __future__ import annotations

from fractions import Fraction

import pytest

from portal.core.takeoff.lengths import read_length
from portal.core.treatment.product import Product
from tests.core.houses import first, level, rectangle, rectangles


@pytest.mark.parametrize(
    ("metric", "exact"),
    [
        ("0.3048 m", 1),  # 1 ft = 0.3048 m exactly: NIST Handbook 44, Appendix C (F)
        ("30.48 cm", 1),
        ("304.8 mm", 1),
        ("25.4 mm", Fraction(1, 12)),  # 1 in = 25.4 mm exactly: NIST SP 811 (F)
        ("1 m", Fraction(10000, 3048)),
    ],
)
def test_a_metric_length_is_exact_in_feet(metric: str, exact: Fraction) -> None:
    assert read_length(metric) == exact


def test_a_gallon_of_231_cubic_inches_is_as_many_liters_as_the_handbook_says() -> None:
    """1 gal = 231 in3 = 3.785411784 L exactly: NIST Handbook 44, Appendix C (F).

    No length enters twice here: the inch as it is read, cubed, against the decimeter as it is read.
    """
    gallon = 231 * read_length("1 in") ** 3

    assert gallon / read_length("10 cm") ** 3 == Fraction("3.785411784")


def test_a_foot_is_twelve_inches_and_a_mile_1609_meters_and_a_third() -> None:
    """1 mi = 5,280 ft = 1 609.344 m exactly: NIST SP 811, Appendix B (F); at most 5,000 ft are one length."""
    assert read_length("12 in") == read_length("1 ft") == 1
    assert read_length("1000 ft") * Fraction(528, 100) == read_length("1000 m") * Fraction("1.609344")


# PS 20, American Softwood Lumber Standard (F): dressed sizes in inches. Surface of the four faces in
# square feet to a lineal foot (D).
DRESSED = {
    "2x4": ('1 1/2"', '3 1/2"', Fraction(5, 6)),
    "2x6": ('1 1/2"', '5 1/2"', Fraction(7, 6)),
    "2x8": ('1 1/2"', '7 1/4"', Fraction(35, 24)),
    "2x10": ('1 1/2"', '9 1/4"', Fraction(43, 24)),
    "2x12": ('1 1/2"', '11 1/4"', Fraction(17, 8)),
}


@pytest.mark.parametrize(("thick", "wide", "around"), DRESSED.values(), ids=DRESSED)
def test_the_four_faces_of_dressed_lumber(thick: str, wide: str, around: Fraction) -> None:
    """The section of a piece is an outline like any other: its boundary is the surface of a lineal foot."""
    assert first(level(rectangles(rectangle(thick, wide)))).survey.exterior == around


def test_an_ounce_of_dye_goes_with_two_finished_gallons() -> None:
    """100 lineal feet: 1 gal and 1 gal of water, 2 gal finished, 1 fl oz of dye (C).

    A gallon is 128 fluid ounces (NIST Handbook 44, F): one part of dye to 256.
    """
    mixed = Product().batch(Fraction(1))

    assert (mixed.finished, mixed.dye) == (2, 1)
    assert mixed.dye / (mixed.finished * 128) == Fraction(1, 256)


def test_the_last_quarter_of_the_water_fills_the_emptied_container_a_quarter() -> None:
    """40 CFR 156.146 (F): a container of 5 gal or less is filled a quarter for each rinsing.

    With a batch from a one-gallon container and one part of water, the quarter of the water that
    common practice keeps back (C) is that much. Three rinsings with fresh water would take 0.75 of
    its capacity (D).
    """
    capacity = Fraction(1)
    mixed = Product().batch(capacity)

    assert mixed.rinse_water == capacity / 4 and mixed.first_water == capacity * 3 / 4
