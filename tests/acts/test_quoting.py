"""The office takes up, adds, approves, sends and revises."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from portal.acts import quoting
from portal.core.documents import fingerprint, to_stored
from portal.core.errors import NotFound, Overtaken
from tests.parts.house import FIRM, RATES, TERMS, House, ranch
from tests.parts.refusals import problems, refusal


def add_extra(
    house: House, lot: str, label: str = "Stairs", reason: str = "Two flights", amount: str = "85"
) -> None:
    quoting.add_extra(house.parts, house.office, lot, house.version(lot), label, reason, amount)


def test_starting_gives_the_quote_its_number(lite: House) -> None:
    lots = [lite.to_check() for _ in range(2)]

    assert [lite.sheet(lot).revisions[0].title for lot in lots] == [
        "Q-2027-0001 rev. 1",
        "Q-2027-0002 rev. 1",
    ]


def test_a_quote_is_started_once(lite: House) -> None:
    lot = lite.to_check()

    assert refusal(lambda: lite.to_check(lot)) == "The quote is already started."


@pytest.mark.parametrize("act", [quoting.send, quoting.revise])
def test_what_was_never_started_cannot_go_on(lite: House, act: Callable[..., None]) -> None:
    lot = lite.asked()
    version = lite.version(lot)

    assert (
        refusal(lambda: act(lite.parts, lite.office, lot, version))
        == "No quote was started for this lot yet."
    )


@pytest.mark.parametrize(
    "act",
    [
        lambda h, lot, v: quoting.start(h.parts, h.office, lot, v),
        lambda h, lot, v: quoting.add_extra(h.parts, h.office, lot, v, "Stairs", "Two flights", "85"),
        lambda h, lot, v: quoting.drop_extra(h.parts, h.office, lot, v, "x"),
        lambda h, lot, v: quoting.approve(h.parts, h.office, lot, v, ""),
        lambda h, lot, v: quoting.send(h.parts, h.office, lot, v),
        lambda h, lot, v: quoting.revise(h.parts, h.office, lot, v),
    ],
)
def test_an_old_version_is_overtaken(lite: House, act: Callable[[House, str, int], None]) -> None:
    lot = lite.approved()

    with pytest.raises(Overtaken) as caught:
        act(lite, lot, lite.version(lot) - 1)

    assert (caught.value.by, str(caught.value.did)) == ("Terrence Udall", "approved the quote")


def test_an_extra_line_is_priced_with_the_rest_and_has_its_reason(lite: House) -> None:
    lot = lite.to_check()
    before = lite.sheet(lot).revisions[0].document

    add_extra(lite, lot, amount="$85.00")

    document = lite.sheet(lot).revisions[0].document
    assert before is not None and document is not None
    assert (document.offer.lines[-1].label, document.offer.lines[-1].reason) == ("Stairs", "Two flights")
    # 296 ft at 1.45, 57 ft sided at 0.60, 27 ft wrapped at 0.25 and the call-out: 505.15, done by hand.
    assert (before.offer.subtotal, document.offer.subtotal) == (Decimal("505.15"), Decimal("590.15"))
    assert document.offer.tax == Decimal("41.31")  # 7 % of 590.15 is 41.3105


def test_an_extra_line_has_what_was_approved_checked_again(lite: House) -> None:
    lot = lite.approved()

    add_extra(lite, lot)

    assert lite.sheet(lot).stage == "to check"


def test_an_extra_line_is_taken_off_again(house: House) -> None:
    lot = house.to_check()
    add_extra(house, lot)
    extra = house.sheet(lot).revisions[0].extras[0]

    quoting.drop_extra(house.parts, house.office, lot, house.version(lot), extra.id)

    assert house.sheet(lot).revisions[0].extras == ()
    assert house.verbs(lot)[-2:] == ["extra added", "extra dropped"]


def test_an_extra_line_that_is_not_there_is_not_found(lite: House) -> None:
    lot = lite.to_check()

    with pytest.raises(NotFound):
        quoting.drop_extra(lite.parts, lite.office, lot, lite.version(lot), "x")


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("label", ""), ("label", " "), ("label", "x" * 201), ("reason", ""), ("reason", "x" * 501),
        ("amount", ""), ("amount", "eighty"), ("amount", "-5"), ("amount", "1.234"), ("amount", "1e3"),
    ],
)  # fmt: skip
def test_an_extra_line_that_cannot_be_is_told_at_its_field(lite: House, field: str, value: str) -> None:
    lot = lite.to_check()

    assert list(problems(lambda: add_extra(lite, lot, **{field: value}))) == [field]


def test_sending_freezes_numbers_and_tells_the_builder(house: House) -> None:
    lot = house.sent()

    revision = house.sheet(lot, house.builder).revisions[0]
    document = revision.document
    assert document is not None
    assert (revision.state, revision.frozen, revision.expires_on) == ("sent", True, date(2027, 6, 3))
    assert revision.fingerprint == fingerprint(to_stored(document))
    assert document.offer.total == revision.total
    assert ("quote_sent", "harriet@example.com") in house.letters()


def test_what_was_sent_stays_as_it_is_when_the_rates_change(lite: House) -> None:
    lot = lite.sent()
    before = lite.sheet(lot).revisions[0]

    lite.enter("rates", RATES | {"call_out": "500"})
    lite.enter("terms", TERMS | {"years": 1})

    assert lite.sheet(lot).revisions[0] == before


@pytest.mark.parametrize(
    ("kind", "document", "said"),
    [
        ("rates", RATES | {"call_out": "500"},
        "The rate book has changed since this was approved: approve it once more."),
        # The total stays, but what the siding clause would cost does not.
        ("rates", RATES | {"second_coat_per_foot": "0.90"},
        "What this offers has changed since it was approved"),
        ("terms", TERMS | {"years": 1},
        "What this offers has changed since it was approved: approve it once more."),
        ("firm", FIRM | {"phone": "555-0199"}, "What this offers has changed since it was approved"),
    ],
)  # fmt: skip
def test_what_changed_after_it_was_approved_is_not_sent(
    lite: House, kind: str, document: dict[str, Any], said: str
) -> None:
    lot = lite.approved(house=ranch("open"))
    lite.enter(kind, document)

    assert refusal(lambda: lite.sent(lot)).startswith(said)

    assert lite.sheet(lite.sent(lite.approved(lot))).stage == "sent"


def test_what_was_approved_yesterday_is_sent_today(lite: House) -> None:
    lot = lite.approved()
    lite.clock.pass_by(days=1)

    document = lite.sheet(lite.sent(lot)).revisions[0].document

    assert document is not None and document.sent_on == date(2027, 5, 5)


def test_only_what_is_approved_is_sent(lite: House) -> None:
    lot = lite.to_check()

    assert refusal(lambda: lite.sent(lot)) == "The quote is to check, so this cannot be done."


def test_a_builder_does_not_see_what_is_not_sent(lite: House) -> None:
    lot = lite.approved()

    assert lite.sheet(lot, lite.builder).revisions == ()
    assert len(lite.sheet(lot).revisions) == 1


def test_a_quote_from_feet_that_were_not_measured_says_so(lite: House) -> None:
    house = {"name": "By area", "levels": [{
        "name": "Main", "outline": {"by": "area", "floor_area": "1650"}, "interior": {"by": "ratio"},
        "siding": "open",
    }]}  # fmt: skip

    by_area = lite.sheet(lite.sent(house=house)).revisions[0].document
    measured = lite.sheet(lite.sent()).revisions[0].document

    assert by_area is not None and by_area.estimated
    assert any("The feet are an estimate" in note for note in by_area.estimate["notes"])
    assert measured is not None and not measured.estimated


def revised(house: House, lot: str) -> None:
    quoting.revise(house.parts, house.office, lot, house.version(lot))


def test_a_revision_carries_lines_and_remarks_over_and_the_old_one_holds_until_it_is_sent(
    house: House,
) -> None:
    lot = house.to_check()
    add_extra(house, lot)
    quoting.approve(house.parts, house.office, lot, house.version(lot), "Mind the porch.")
    house.sent(lot)

    revised(house, lot)

    new, old = house.sheet(lot).revisions
    assert (new.state, new.remarks, [e.label for e in new.extras]) == (
        "to check",
        "Mind the porch.",
        ["Stairs"],
    )
    assert (old.state, [e.label for e in old.extras]) == ("sent", ["Stairs"])

    house.sent(house.approved(lot))

    assert [(r.number, r.state) for r in house.sheet(lot).revisions] == [(2, "sent"), (1, "superseded")]
    assert house.verbs(lot)[-2:] == ["superseded", "sent"]


def test_what_was_accepted_is_not_revised(lite: House) -> None:
    lot = lite.accepted()

    assert refusal(lambda: revised(lite, lot)) == "The quote is accepted, so this cannot be done."


def test_remarks_have_an_end(lite: House) -> None:
    lot = lite.to_check()
    version = lite.version(lot)

    said = problems(lambda: quoting.approve(lite.parts, lite.office, lot, version, "x" * 4001))

    assert said == {"remarks": "At most 4000 characters, please."}


def test_a_sent_quote_lapses_the_day_after_its_last(house: House) -> None:
    lot = house.sent()
    last = house.sheet(lot).revisions[0].expires_on
    assert last is not None

    house.clock.turn_to(last, 23, 59)
    assert (quoting.lapse(house.parts), house.sheet(lot).stage) == (0, "sent")

    house.clock.turn_to(last + timedelta(days=1), 0, 0)
    assert house.sheet(lot).stage == "lapsed"  # as of today, whether or not the worker has been
    assert (quoting.lapse(house.parts), quoting.lapse(house.parts)) == (1, 0)
    assert house.sheet(lot).revisions[0].state == "lapsed"
    assert house.verbs(lot)[-1] == "lapsed"
    assert house.letters()[-1] == ("quote_lapsed", "harriet@example.com")


def test_many_lapse_on_one_day(lite: House) -> None:
    lots = [lite.sent() for _ in range(3)]
    lite.clock.pass_by(days=40)

    assert quoting.lapse(lite.parts) == 3
    assert {lite.sheet(lot).stage for lot in lots} == {"lapsed"}
