"""Which words a newer revision changed."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from msgspec.structs import replace

from portal.core.documents import Line
from portal.core.documents.reworded import Rewording, reworded
from tests.parts import documents

OLD = documents.quote()


def test_the_same_words_are_no_change_and_neither_is_the_day_of_sending() -> None:
    assert reworded(OLD, replace(OLD, sent_on=date(2027, 3, 1), revision=3)) == ()


@pytest.mark.parametrize(
    ("changed", "what", "before", "after"),
    [
        ({"remarks": "Key at the panel."}, "remarks", None, "Key at the panel."),
        ({"siding_starts": None}, "siding_starts", OLD.siding_starts, None),
        ({"expires_on": date(2027, 4, 1)}, "expires_on", OLD.expires_on, date(2027, 4, 1)),
        ({"place": replace(OLD.place, house_number="114")}, "place", "112 Alder Lane, Marlow Ferry, TX 75999",
         "114 Alder Lane, Marlow Ferry, TX 75999"),
        ({"builder": replace(OLD.builder, asked_by="Gil Otter")}, "asked_by", "Ada Quist", "Gil Otter"),
        ({"product": replace(OLD.product, registration="00000-001")}, "registration", "00000-000",
         "00000-001"),
        ({"product": replace(OLD.product, dry_minutes=Decimal("30.0"))}, "dry_minutes", "20", "30"),
        ({"terms": replace(OLD.terms, years=None)}, "years", "10", None),
        ({"terms": replace(OLD.terms, title="Promise")}, "title", "Framing protection", "Promise"),
    ],
)  # fmt: skip
def test_one_thing_that_reads_otherwise_is_told(
    changed: dict[str, Any], what: str, before: Any, after: Any
) -> None:
    assert reworded(OLD, replace(OLD, **changed)) == (Rewording(what, before, after),)


def test_lines_of_the_terms_are_told_one_by_one_and_not_for_having_moved() -> None:
    first, *rest = OLD.terms.voids
    terms = replace(OLD.terms, voids=(*rest, "Wood that was painted."), covers=OLD.terms.covers[::-1])

    assert reworded(OLD, replace(OLD, terms=terms)) == (
        Rewording("voids", first, None),
        Rewording("voids", None, "Wood that was painted."),
    )


def test_another_reason_for_the_same_extra_line_is_told() -> None:
    old, new = (
        documents.quote(extras=(Line("extra", "Stairs", Decimal("85.00"), reason=reason),))
        for reason in ("Two flights", "Three flights")
    )

    assert reworded(old, new) == (Rewording("reason", "Two flights", "Three flights"),)
