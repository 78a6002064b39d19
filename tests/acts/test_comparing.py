"""Two revisions of a lot's quote compared, by the rates each was priced by; and all of it carried over."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from portal.acts import asking, quoting
from portal.acts.comparing import Compared, side_by_side
from portal.core.errors import NotAllowed
from tests.parts.house import RATES, House, ranch
from tests.parts.packages import TOGETHER, lots_of, sent_package

D = Decimal
SIDES = {"by": "face", "north": "open", "east": "wrapped", "south": "sided", "west": "sided"}


def extra(house: House, lot: str, label: str, amount: str) -> None:
    quoting.add_extra(house.parts, house.office, lot, house.version(lot), label, "asked by phone", amount)


def revised(house: House, lot: str) -> None:
    quoting.revise(house.parts, house.office, lot, house.version(lot))


def comparison(house: House, lot: str, older: int = 1) -> Compared:
    """The newest revision that the builder sees, and an older one."""
    newest, *others = house.sheet(lot, house.builder).revisions
    old = next(one for one in others if one.number == older)
    return side_by_side(house.parts, house.builder, newest, old)


def test_each_revision_is_compared_by_the_rates_it_was_priced_by(house: House) -> None:
    """By hand: 27 ft at the second-coat rate, 84 ft at five cents more, 300 ft at four, and tax on these."""
    lot = house.to_check()
    extra(house, lot, "Stairs", "85.00")
    house.sent(house.approved(lot))
    house.enter("rates", RATES | {
        "tax_percent": "8", "second_coat_per_foot": "0.65",
        "bands": [{"up_to_feet": "300", "per_foot": "1.49"}, {"per_foot": "1.20"}],
    })  # fmt: skip
    asked = house.lot_asked(house=ranch(SIDES, "140"))
    asking.ask_again(house.parts, house.builder, lot, house.version(lot), asked)
    house.sent(house.approved(lot))

    found = comparison(house, lot)

    told = [(one.kind, one.name, one.amount) for one in found.changes]
    assert told == [
        ("interior", "", D("15.40")),  # 296 to 308 ft: 4 at 1.45, 8 at 1.20
        ("siding", "west side", D("16.20")),
        ("band", "", D("12.00")),
        ("rate", "second_coat_per_foot", D("4.20")),
        ("tax", "", D("3.35")),  # 7 % of 47.80, and what rounding the whole anew makes of it
        ("tax percent", "", D("6.38")),
    ]
    assert found.sum is not None
    assert sum(one.amount for one in found.changes) == found.sum.difference
    assert found.sum.difference == found.new.offer.total - found.old.offer.total
    assert (found.sum.number, found.sum.before) == (1, found.old.offer.total)


def test_it_is_the_same_whichever_is_named_first_and_who_looks(lite: House) -> None:
    lot = lite.sent()
    revised(lite, lot)
    extra(lite, lot, "Porch", "40.00")
    lite.sent(lite.approved(lot))
    new, old = lite.sheet(lot).revisions

    first = side_by_side(lite.parts, lite.office, new, old)

    assert first == side_by_side(lite.parts, lite.builder, old, new)
    with pytest.raises(NotAllowed):
        side_by_side(lite.parts, lite.technician, old, new)


def test_a_draft_is_compared_as_it_would_be_sent_now(lite: House) -> None:
    lot = lite.sent()
    revised(lite, lot)
    lite.enter("rates", RATES | {"call_out": "45.00"})

    draft, sent = lite.sheet(lot).revisions
    found = side_by_side(lite.parts, lite.office, draft, sent)

    assert [(one.name, one.amount) for one in found.changes] == [
        ("call_out", D("10.00")),
        ("", D("0.70")),
    ]


def test_the_letter_of_a_new_revision_tells_the_sum_and_that_of_the_first_does_not(lite: House) -> None:
    lite.use_real()
    lot = lite.sent()
    revised(lite, lot)
    extra(lite, lot, "Porch", "40.00")
    lite.sent(lite.approved(lot))
    demo = replace(lite.parts, demo=True)
    from portal.acts.outbox import letters

    second, first = (
        next(one.text for one in letters(demo) if f"rev. {n} for" in one.subject or f"rev. {n} " in one.text)
        for n in (2, 1)
    )

    assert (
        "Revision 1 came to $540.51; this is $42.80 more: extra lines $40.00, tax $2.80. Open it to see"
        in second
    )
    assert "came to" not in first


def test_asking_again_carries_remarks_and_extra_lines_over(house: House) -> None:
    lot = house.to_check(notes="Key box.", siding_starts=date(2027, 6, 1))
    extra(house, lot, "Stairs", "85.00")
    extra(house, lot, "Porch", "40.00")
    quoting.approve(house.parts, house.office, lot, house.version(lot), "Use the north gate.")
    house.sent(lot)
    before = house.sheet(lot)
    house.clock.pass_by(days=40)
    quoting.lapse(house.parts)

    again = house.lot_asked(
        name=before.place.lot, house_number=before.place.house_number, notes="Key box.",
        siding_starts=date(2027, 6, 1),
    )  # fmt: skip
    asking.ask_again(house.parts, house.builder, lot, house.version(lot), again)

    after = house.sheet(lot)
    new, old = after.revisions
    assert (new.number, new.state, new.remarks) == (2, "to check", "Use the north gate.")
    assert [(e.label, e.reason, e.amount, e.added_by) for e in new.extras] == [
        (e.label, e.reason, e.amount, e.added_by) for e in old.extras
    ]
    assert len(new.extras) == 2 and not {e.id for e in new.extras} & {e.id for e in old.extras}
    assert (after.notes, after.siding_starts, after.place) == (
        before.notes,
        before.siding_starts,
        before.place,
    )
    house.sent(house.approved(lot))
    assert comparison(house, lot).changes == ()


def test_in_a_package_the_share_of_the_common_slices_is_told_beside_the_lot_s_own_feet(lite: House) -> None:
    """By hand, of three lots of 296 ft: by itself a lot comes to 429.20, and its third of 1140.60 to 380.20.

    With 12 ft more inside it is 308 ft, 444.60 by itself; of 900 ft in all, 1155.00, its share is 395.27,
    and so 49.00 less before, 49.33 less now.
    """
    lite.enter("rates", TOGETHER)
    package_id = sent_package(lite)
    lot = lots_of(lite, package_id)[0]
    asked = lite.lot_asked(house=ranch("open", "140"))
    asking.ask_again(lite.parts, lite.builder, lot, lite.version(lot), asked)
    lite.sent(lite.approved(lot))

    found = comparison(lite, lot)

    assert found.sum is not None
    assert sum(one.amount for one in found.changes) == found.sum.difference
    told = {one.kind: one.amount for one in found.changes}
    assert (told["interior"], told["rest"]) == (D("15.40"), D("-0.33"))
