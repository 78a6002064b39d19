"""One house, however its address is written; two houses, however alike."""

from __future__ import annotations

import pytest

from portal.core.cover.filing import code_key, container_keys, find_key
from portal.core.cover.places import SHORT, place_key

HOUSE = place_key("112", "North Ferry Oak Court", "52999")

#: Suffixes and directions with the abbreviation of USPS Publication 28, appendices B and C1 (from memory).
PUBLISHED = {
    "ALLEY": "ALY", "AVENUE": "AVE", "BOULEVARD": "BLVD", "CIRCLE": "CIR", "COURT": "CT", "CROSSING": "XING",
    "DRIVE": "DR", "HEIGHTS": "HTS", "HIGHWAY": "HWY", "LANE": "LN", "PARKWAY": "PKWY", "PLACE": "PL",
    "ROAD": "RD", "SQUARE": "SQ", "STREET": "ST", "TERRACE": "TER", "TRAIL": "TRL", "TURNPIKE": "TPKE",
    "NORTH": "N", "NORTHEAST": "NE", "SOUTHWEST": "SW",
}  # fmt: skip


@pytest.mark.parametrize(
    ("number", "street", "code"),
    [
        ("112", "N Ferry Oak Ct", "52999"), ("112", "n. ferry oak ct.", "52999-0123"),
        (" 112 ", "NORTH  FERRY OAK COURT", "IA 52999"), ("112", "North Ferry-Oak Court", "529990123"),
        ("112", "Nörth Ferry Oak Court", "52999"), ("112", "North Ferry Oak Court,", " 52999"),
    ],
)  # fmt: skip
def test_the_same_house_written_otherwise(number: str, street: str, code: str) -> None:
    assert place_key(number, street, code) == HOUSE


@pytest.mark.parametrize(
    ("number", "street", "code"),
    [
        ("113", "North Ferry Oak Court", "52999"), ("112B", "North Ferry Oak Court", "52999"),
        ("112", "South Ferry Oak Court", "52999"), ("112", "North Ferry Oak Lane", "52999"),
        ("112", "North Ferry Oak Court", "52998"), ("11", "2 North Ferry Oak Court", "52999"),
    ],
)  # fmt: skip
def test_another_house(number: str, street: str, code: str) -> None:
    assert place_key(number, street, code) != HOUSE


@pytest.mark.parametrize("word", PUBLISHED)
def test_words_of_streets_stand_for_their_published_abbreviations(word: str) -> None:
    assert SHORT[word] == PUBLISHED[word]


def test_a_house_number_with_a_letter_is_one_however_it_is_set() -> None:
    assert place_key("12-b", "Lime Kiln Lane", "52999") == place_key("12 B", "Lime Kiln Ln", "52999")


def test_a_number_and_a_house_number_make_one_key_that_no_other_pair_makes() -> None:
    assert find_key("ABCD-EFGH-JKM", "12-b") == find_key("ABCD-EFGH-JKM", "12 B")
    assert find_key("ABCD-EFGH-JKM", "13") != find_key("ABCD-EFGH-JKM", "12")
    assert find_key("ABCD-EFGH-JK", "M12") != find_key("ABCD-EFGH-JKM", "12")


@pytest.mark.parametrize(
    ("typed", "keys"),
    [
        ("BL-204", ("BL204",)), ("bl 204", ("BL204",)), ("", ()), (" - ", ()),
        ("BL-204 and BL-207", ("BL204ANDBL207", "BL204", "BL207")),
        ("BL-204, BL-207; BL-209", ("BL204BL207BL209", "BL204", "BL207", "BL209")),
        ("27/204", ("27204", "27", "204")), ("Sandy 4", ("SANDY4",)),
    ],
)  # fmt: skip
def test_a_field_with_two_lots_is_found_under_each_and_under_the_whole(
    typed: str, keys: tuple[str, ...]
) -> None:
    assert container_keys(typed) == keys
    assert all(code_key(key) == key for key in keys)
