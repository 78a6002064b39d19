"""What a record would lack is named, with the page where it is entered."""

from __future__ import annotations

from portal.core.treatment.gaps import gaps

WHOLE = {
    "firm": {"license": "1", "phone": "2", "address": ["3"]},
    "product": {"registration": "1", "classification": "unclassified", "active_ingredient": "3"},
    "technician": {"name": "Noor Vale", "certificate": "CA-1"},
    "builder": {"name": "Harrow Homes", "address": "8 Mill Street"},
}


def test_nothing_is_missing_where_all_is_entered() -> None:
    assert gaps(WHOLE) == ()


def test_each_setting_that_is_empty_is_named_with_its_page() -> None:
    for where, settings in WHOLE.items():
        for at in settings.keys() - {"name"}:
            (gap,) = gaps(WHOLE | {where: settings | {at: ""}})
            assert gap.where == where and "{" not in str(gap.says)


def test_a_person_and_a_builder_are_named() -> None:
    found = gaps({"technician": {"name": "Noor Vale"}, "builder": {"name": "Harrow Homes", "address": ""}})

    assert [str(gap.says) for gap in found] == [
        "Noor Vale has no certificate number.", "The address of Harrow Homes is missing.",
    ]  # fmt: skip
