"""Handed on, twice: by the holder's link and by the office. Whoever held it before is shut out."""

from __future__ import annotations

import re
from datetime import date, timedelta
from functools import partial

import pytest

from portal.acts import covering, holder_page, holding, office_transfers
from portal.acts.holding import HolderTyped
from portal.acts.transferring import NextTyped
from portal.core.cover.handing import against
from portal.core.documents.parties import Transfer as Rules
from portal.core.errors import NotFound, TooManyTries
from portal.store.tables import Holder, Letter, LinkAsked, Transfer
from tests.parts.at_once import at_once
from tests.parts.house import House
from tests.parts.refusals import problems, refusal

pytestmark = pytest.mark.slow

CLOSED = date(2027, 7, 9)
SOLD = date(2027, 9, 1)


def letters(house: House, to: str) -> list[Letter]:
    """What was mailed to an address, oldest first."""
    with house.parts.store.reading() as work:
        rows = work.session.query(Letter).filter(Letter.to == to).order_by(Letter.written_at, Letter.id)
        return list(rows)


def token(house: House, to: str, kind: str) -> str:
    """The newest link of a kind (mine, handed) that was mailed to an address."""
    found = [re.search(rf"/warranty/{kind}/(\S+)", row.text) for row in letters(house, to)]
    return [one[1] for one in found if one][-1]


def owned(house: House) -> tuple[str, str]:
    """A treated lot with its first owner; the lot, and the owner's token."""
    lot = house.treated()
    house.clock.turn_to(CLOSED)
    typed = HolderTyped("Ada Roe", "ada@example.org", "555-0144", CLOSED)
    holding.name_first_owner(house.parts, house.builder, lot, typed, house.key())
    return lot, asked(house, lot, "ada@example.org")


def asked(house: House, lot: str, email: str) -> str:
    """A link, asked for by number and address."""
    with house.parts.store.reading() as work:
        from portal.store import warranties

        found = warranties.warranty_of(work, lot)
        assert found is not None
        number = found.number
    holder_page.ask_link(house.parts, number, email, "192.0.2.1")
    holder_page.answer_link_asks(house.parts)
    return token(house, email, "mine")


def to(name: str, day: date = SOLD) -> NextTyped:
    return NextTyped(name, f"{name.split()[0].lower()}@example.org", day)


def by_office(house: House, lot: str, typed: NextTyped, **more: object) -> None:
    given = {"evidence": "Deed of September 1.", "name": "", "content": b"", "once_key": house.key()} | more
    office_transfers.hand_on_by_office(house.parts, house.office, lot, typed, **given)  # type: ignore[arg-type]


def holders(house: House, lot: str) -> list[tuple[str, date, date | None]]:
    return [(h.name, h.since, h.until) for h in holding.holders_of(house.parts, house.office, lot)]


def test_it_is_handed_on_twice_and_each_holder_before_is_shut_out(house: House) -> None:
    lot, ada = owned(house)
    house.clock.turn_to(SOLD)
    state = holder_page.ask_transfer(house.parts, ada, to("Ben Cole"), house.key())
    if state == "office":  # by the terms of the test's house the office looks first
        [row] = office_transfers.transfers_of(house.parts, house.office, lot)
        office_transfers.agree(house.parts, house.office, lot, row.id, "Deed of September 1.", "", b"")
    assert holder_page.look(house.parts, ada).name == "Ada Roe", "until the buyer says yes it stays hers"
    ben = holder_page.accept(house.parts, token(house, "ben@example.org", "handed"), "Ben Cole", "")

    says = "This link is over. Whoever holds the warranty now can ask for a new one."
    assert refusal(lambda: holder_page.look(house.parts, ada)) == says
    assert refusal(lambda: holder_page.correct(house.parts, ada, "x@example.org", "")) == says
    assert refusal(lambda: holder_page.ask_transfer(house.parts, ada, to("Zoe"), house.key())) == says
    shown = holder_page.look(house.parts, ben)
    assert (shown.name, shown.before) == ("Ben Cole", 1)
    assert "Ada" not in repr(shown), "of earlier holders the number, never a name"

    house.clock.turn_to(SOLD + timedelta(days=30))
    by_office(house, lot, to("Cleo Dunn", SOLD + timedelta(days=29)))

    assert refusal(lambda: holder_page.look(house.parts, ben)) == says
    assert holder_page.look(house.parts, token(house, "cleo@example.org", "mine")).before == 2
    second = SOLD + timedelta(days=29)
    assert holders(house, lot) == [
        ("Ada Roe", CLOSED, SOLD), ("Ben Cole", SOLD, second), ("Cleo Dunn", second, None),
    ]  # fmt: skip
    for gone in ("ada@example.org", "ben@example.org"):
        assert "handed_on" in letters(house, gone)[-1].subject


def test_nothing_of_a_holder_stands_in_the_history(lite: House) -> None:
    from portal.store.tables import History

    lot, ada = owned(lite)
    holder_page.correct(lite.parts, ada, "ada@new.example.org", "555-0199")
    lite.clock.turn_to(SOLD)
    by_office(lite, lot, to("Ben Cole"))
    with lite.parts.store.reading() as work:
        lines = [f"{line.by} {line.subject} {line.details}" for line in work.session.query(History)]
    assert not [line for line in lines if any(x in line for x in ("Ada", "Ben", "ada@", "ben@", "0199"))]
    assert lite.verbs(lot)[-1] == "handed on"


def test_an_address_that_is_corrected_ends_the_link_before(lite: House) -> None:
    _lot, ada = owned(lite)
    new = holder_page.correct(lite.parts, ada, "ada@new.example.org", "")
    assert "over" in refusal(lambda: holder_page.look(lite.parts, ada))
    assert holder_page.look(lite.parts, new).email == "ada@new.example.org"
    assert token(lite, "ada@new.example.org", "mine")


def test_a_buyer_who_says_no_and_a_holder_who_takes_it_back_leave_it_where_it_is(lite: House) -> None:
    lot, ada = owned(lite)
    lite.clock.turn_to(SOLD)
    for undo in ("withdraw", "decline"):
        lite.clock.pass_by(minutes=1)  # so that the newest link is the newest
        holder_page.ask_transfer(lite.parts, ada, to("Ben Cole"), lite.key())
        row = office_transfers.transfers_of(lite.parts, lite.office, lot)[-1]
        if row.state == "office":
            office_transfers.agree(lite.parts, lite.office, lot, row.id, "Deed.", "", b"")
        link = token(lite, "ben@example.org", "handed")
        if undo == "withdraw":
            holder_page.withdraw(lite.parts, ada)
        else:
            holder_page.decline(lite.parts, link)
        assert "over" in refusal(lambda: holder_page.accept(lite.parts, link, "Ben Cole", ""))  # noqa: B023
    assert holders(lite, lot) == [("Ada Roe", CLOSED, None)]


def test_two_who_take_it_over_at_once_make_one_holder(house: House) -> None:
    lot, ada = owned(house)
    house.clock.turn_to(SOLD)
    holder_page.ask_transfer(house.parts, ada, to("Ben Cole"), house.key())
    row = office_transfers.transfers_of(house.parts, house.office, lot)[-1]
    if row.state == "office":
        office_transfers.agree(house.parts, house.office, lot, row.id, "Deed.", "", b"")
    link = token(house, "ben@example.org", "handed")
    take = partial(holder_page.accept, house.parts, link, "Ben Cole", "")
    answers = at_once(take, take)
    assert sorted(type(one).__name__ for one in answers) == ["Refused", "str"]
    assert house.rows(Holder) == 2


def test_the_office_declines_with_a_reason_that_the_holder_is_told(lite: House) -> None:
    lot, ada = owned(lite)
    lite.clock.turn_to(SOLD)
    holder_page.ask_transfer(lite.parts, ada, to("Ben Cole"), lite.key())
    [row] = office_transfers.transfers_of(lite.parts, lite.office, lot)
    office_transfers.decline(lite.parts, lite.office, lot, row.id, "The deed names another buyer.")
    assert "The deed names another buyer." in letters(lite, "ada@example.org")[-1].text
    assert holder_page.look(lite.parts, ada).transfer is None


def test_evidence_is_needed_kept_and_handed_out_to_the_office_alone(lite: House) -> None:
    lot, _ada = owned(lite)
    lite.clock.turn_to(SOLD)
    assert list(problems(lambda: by_office(lite, lot, to("Ben Cole"), evidence=" "))) == ["evidence"]
    assert list(problems(lambda: by_office(lite, lot, to("Ben Cole"), content=b"MZ..", name="a"))) == ["file"]
    by_office(lite, lot, to("Ben Cole"), name="deed.pdf", content=b"%PDF-1.7 deed")
    [row] = office_transfers.transfers_of(lite.parts, lite.office, lot)
    found = office_transfers.evidence_file(lite.parts, lite.office, lot, row.id)
    assert found == (b"%PDF-1.7 deed", "application/pdf")
    other = lite.treated()
    with pytest.raises(NotFound):
        office_transfers.evidence_file(lite.parts, lite.office, other, row.id)


def test_what_does_not_fit_is_told_at_its_field(lite: House) -> None:
    lot, ada = owned(lite)
    for changes, at in (
        (to("Ben", CLOSED + timedelta(days=1)), "closed_on"),
        (to("Ben", CLOSED - timedelta(days=1)), "closed_on"),
        (NextTyped("", "b@example.org", CLOSED), "name"), (NextTyped("Ben", "", CLOSED), "email"),
    ):  # fmt: skip
        assert list(problems(lambda: holder_page.ask_transfer(lite.parts, ada, changes, lite.key()))) == [at]  # noqa: B023
    covering.make_void(lite.parts, lite.owner, lot, "Cut through.")
    assert "void" in refusal(lambda: holder_page.ask_transfer(lite.parts, ada, to("Ben", CLOSED), lite.key()))
    assert lite.rows(Transfer) == 0


def test_a_link_goes_to_the_address_on_record_alone_and_asking_is_limited(lite: House) -> None:
    _lot, _ada = owned(lite)
    before = lite.rows(Letter)
    with lite.parts.store.reading() as work:
        number = str(work.session.query(Holder).one().warranty_id)
    for n, (typed, mail) in enumerate(((number, "ada@example.org"), ("AAAA-AAAA-AAA", "ada@example.org"))):
        holder_page.ask_link(lite.parts, typed, mail, f"198.51.100.{n}")
    assert lite.rows(LinkAsked) == 2
    assert holder_page.answer_link_asks(lite.parts) == 0
    assert (lite.rows(LinkAsked), lite.rows(Letter)) == (0, before)
    ask = partial(holder_page.ask_link, lite.parts, number, "eve@example.org", "203.0.113.9")
    for _try in range(holder_page.DOOR.free):
        ask()
    with pytest.raises(TooManyTries):
        ask()


@pytest.mark.parametrize(
    ("rules", "made", "closed_on", "says"),
    [
        # The rules are the terms' own, as the office entered them: no source beside them.
        (None, 9, SOLD, None),
        (Rules(None, None, 0, ""), 9, SOLD, None),
        (Rules(0, None, 0, ""), 0, SOLD, "stays with the first owner"),
        (Rules(2, None, 0, ""), 1, SOLD, None),
        (Rules(2, None, 0, ""), 2, SOLD, "times at most"),
        (Rules(2, 30, 0, ""), 0, SOLD - timedelta(days=30), None),
        (Rules(2, 30, 0, ""), 0, SOLD - timedelta(days=31), "is to be told within"),
    ],
)
def test_the_terms_say_how_often_and_how_late(
    rules: Rules | None, made: int, closed_on: date, says: str | None
) -> None:
    found = against(rules, "in force", made, CLOSED, closed_on, SOLD)
    assert (found is None) if says is None else (found is not None and says in str(found[1]))
