"""A link mailed to one purchaser: it opens one quote, answers it once, and nothing else."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date, timedelta
from functools import partial
from typing import Any

import pytest

from portal.acts import papers, quoting
from portal.acts.answers import LinkRow, answers
from portal.acts.by_link import (
    LINK,
    accept_by_link,
    decline_by_link,
    open_link,
    paper_by_link,
    take_back_by_link,
)
from portal.acts.link_page import LinkPage
from portal.acts.purchasing import MOST_OUT, mail_link, withdraw_link
from portal.acts.second_person import set_second_over
from portal.core.errors import NotFound, Refused, TooManyTries
from portal.store.tables import Job, Letter, PurchaserLink
from tests.parts.at_once import at_once
from tests.parts.house import House
from tests.parts.links import PIA, mailed
from tests.parts.refusals import problems, refusal

pytestmark = pytest.mark.slow

HERE = "198.51.100.7"


def seen(house: House, token: str, *, opened: bool = False) -> LinkPage:
    """The page of a link."""
    return open_link(house.parts, token, HERE, opened=opened)


def accept(house: House, token: str, name: str = "Pia Holm", order: str = "", key: str = "") -> None:
    """Accept through a link what it shows."""
    quote = seen(house, token).quote
    fingerprint = quote.fingerprint if quote else "none"
    accept_by_link(house.parts, token, fingerprint, name, order, key or house.key(), HERE)


def link(house: House, lot: str) -> LinkRow:
    """The one link of a lot's first revision."""
    (row,) = answers(house.parts, house.builder, lot, 1).links
    return row


def test_a_link_shows_its_quote_and_is_answered(house: House) -> None:
    lot = house.sent()
    token = mailed(house, lot)
    before = link(house, lot)
    page = seen(house, token, opened=True)
    accept(house, token, order="PO-9")

    assert (before.name, before.email, before.made_by, before.standing) == (
        "Pia Holm", PIA, "Harriet Finch", "open",
    )  # fmt: skip
    assert before.opened_at is None and before.expires_on == house.sheet(lot).revisions[0].expires_on
    assert page.quote is not None and page.quote.document == house.sheet(lot).revisions[0].document
    sheet = house.sheet(lot)
    assert sheet.accepted is not None and sheet.job is not None
    assert (sheet.stage, sheet.accepted.decided_by, sheet.accepted.purchase_order) == (
        "accepted", "Pia Holm", "PO-9",
    )  # fmt: skip
    after = link(house, lot)
    assert (after.standing, after.answered_name, after.opened_at is not None) == (
        "accepted", "Pia Holm", True,
    )  # fmt: skip
    again = seen(house, token).answered
    assert again is not None and (again.name, again.purchase_order) == ("Pia Holm", "PO-9")


def test_the_history_says_through_which_link(lite: House) -> None:
    lot = lite.sent()
    accept(lite, mailed(lite, lot))

    line = next(one for one in lite.sheet(lot).history if one.by == "Pia Holm")

    assert (str(line.verb), line.subject) == (
        "accepted the quote through a mailed link", f"Q-2027-0001 rev. 1, {PIA}",
    )  # fmt: skip
    assert lite.verbs(lot)[-2:] == ["link mailed", "accepted by link"]


def test_office_company_and_purchaser_are_told(lite: House) -> None:
    lot = lite.sent()
    accept(lite, mailed(lite, lot))

    for letter in (
        ("purchaser_link", PIA), ("quote_accepted", "terrence@example.com"),
        ("quote_accepted_copy", PIA), ("link_answered", "harriet@example.com"),
    ):  # fmt: skip
        assert letter in lite.letters()


def test_the_acceptance_paper_says_that_it_came_through_a_link(lite: House) -> None:
    lot = lite.sent()
    accept(lite, mailed(lite, lot, by=lite.office), order="PO-9")

    beside = json.loads(papers.paper(lite.parts, lite.builder, lot, "acceptance").content)["beside"]

    assert beside["accepted_by"] == "Pia Holm"
    assert beside["yeses"] == [{"name": "Pia Holm", "at": "2027-05-04T08:00-05:00", "email": PIA,
                                "purchase_order": "PO-9", "mailed_by": "Terrence Udall"}]  # fmt: skip


def test_it_is_declined_with_a_reason(lite: House) -> None:
    lot = lite.sent()
    token = mailed(lite, lot)
    fingerprint = lite.sheet(lot).revisions[0].fingerprint

    decline_by_link(lite.parts, token, fingerprint, "Too dear.", lite.key(), HERE)

    revision = lite.sheet(lot).revisions[0]
    assert (revision.state, revision.decided_by, revision.decline_reason) == (
        "declined", "Pia Holm", "Too dear.",
    )  # fmt: skip
    answered = seen(lite, token).answered
    assert answered is not None and answered.reason == "Too dear."
    assert ("link_answered", "harriet@example.com") in lite.letters()


def test_looking_changes_nothing_but_when_it_was_first_opened(lite: House) -> None:
    lot = lite.sent()
    token, version = mailed(lite, lot), lite.version(lot)
    lines, letters = lite.verbs(), lite.letters()

    seen(lite, token)
    assert link(lite, lot).opened_at is None
    seen(lite, token, opened=True)
    first = link(lite, lot).opened_at
    lite.clock.pass_by(hours=1)
    seen(lite, token, opened=True)
    paper_by_link(lite.parts, token, HERE)

    assert first is not None and link(lite, lot).opened_at == first
    assert (lite.verbs(), lite.letters(), lite.version(lot)) == (lines, letters, version)


def test_its_paper_is_the_quotes(lite: House) -> None:
    lot = lite.sent()

    by_link = paper_by_link(lite.parts, mailed(lite, lot), HERE)

    assert by_link == papers.paper(lite.parts, lite.builder, lot, "quote", 1)


def withdrawn(house: House, lot: str) -> None:
    withdraw_link(house.parts, house.builder, lot, link(house, lot).id)


def superseded(house: House, lot: str) -> None:
    quoting.revise(house.parts, house.office, lot, house.version(lot))
    house.sent(house.approved(lot))


def expired(house: House, lot: str) -> None:
    house.clock.pass_by(days=5)


def lapsed(house: House, lot: str) -> None:
    house.clock.pass_by(days=40)


def answered(house: House, lot: str) -> None:
    house.accept(lot)


ENDS: dict[Callable[[House, str], None], tuple[str, str]] = {
    withdrawn: ("withdrawn", "This link was withdrawn"),
    superseded: ("superseded", "A newer revision took the place"),
    expired: ("expired", "The time of this link is over"),
    lapsed: ("lapsed", "This quote held for a time that is over"),
    answered: ("answered", "This quote was answered in the meantime"),
}


@pytest.mark.parametrize("end", ENDS, ids=[end.__name__ for end in ENDS])
def test_a_link_that_is_over_says_why_shows_nothing_and_answers_nothing(
    lite: House, end: Callable[[House, str], None]
) -> None:
    lot = lite.sent()
    until = lite.parts.today() + timedelta(days=2)
    token = mailed(lite, lot, until=until)
    fingerprint = lite.sheet(lot).revisions[0].fingerprint
    word, says = ENDS[end]

    end(lite, lot)

    page = seen(lite, token)
    stage = lite.sheet(lot).stage
    assert (page.standing, page.quote, page.answered) == (word, None, None)
    assert page.says is not None and str(page.says).startswith(says)
    calls: tuple[Callable[[], None], ...] = (
        lambda: accept_by_link(lite.parts, token, fingerprint, "Pia Holm", "", lite.key(), HERE),
        lambda: decline_by_link(lite.parts, token, fingerprint, "No.", lite.key(), HERE),
        lambda: take_back_by_link(lite.parts, token, HERE),
    )
    for call in calls:
        assert refusal(call).startswith(says)
    with pytest.raises(NotFound):
        paper_by_link(lite.parts, token, HERE)
    assert lite.sheet(lot).stage == stage


def test_a_link_works_on_its_last_day(lite: House) -> None:
    lot = lite.sent()
    until = lite.parts.today() + timedelta(days=2)
    token = mailed(lite, lot, until=until)
    lite.clock.turn_to(until, 23, 59)

    accept(lite, token)

    assert lite.sheet(lot).stage == "accepted"


@pytest.mark.parametrize("token", ["", "x", "x" * 5000, "../lots", "é" * 20, "a\nb"])
def test_what_is_no_token_of_ours_is_not_found(lite: House, token: str) -> None:
    with pytest.raises(NotFound):
        open_link(lite.parts, token, HERE, opened=True)


def test_wrong_tokens_slow_the_address_down_and_no_other(lite: House) -> None:
    token = mailed(lite, lite.sent())
    for n in range(LINK.free):
        with pytest.raises(NotFound):
            open_link(lite.parts, f"wrong-{n}", HERE, opened=True)

    with pytest.raises(TooManyTries):
        open_link(lite.parts, token, HERE, opened=True)
    assert open_link(lite.parts, token, "198.51.100.8", opened=True).standing == "open"
    lite.clock.pass_by(minutes=1)
    assert seen(lite, token).standing == "open"


def test_each_link_answers_its_own_quote_only(lite: House) -> None:
    first, second = lite.sent(), lite.sent()
    token = mailed(lite, first)
    other = lite.sheet(second).revisions[0].fingerprint

    said = refusal(lambda: accept_by_link(lite.parts, token, other, "Pia Holm", "", lite.key(), HERE))

    assert said == "This is not the quote that was shown. Open it again, read it, and answer it there."
    assert (lite.sheet(first).stage, lite.sheet(second).stage) == ("sent", "sent")


@pytest.mark.parametrize(
    ("field", "value"), [("name", ""), ("name", "  "), ("name", "x" * 201), ("order", "x" * 81)]
)
def test_a_signature_that_cannot_be_is_told(lite: House, field: str, value: str) -> None:
    token = mailed(lite, lite.sent())

    assert len(problems(lambda: accept(lite, token, **{field: value}))) == 1


def test_a_double_click_is_one_acceptance(house: House) -> None:
    lot = house.sent()
    token = mailed(house, lot)
    fingerprint = house.sheet(lot).revisions[0].fingerprint
    once = partial(accept_by_link, house.parts, token, fingerprint, "Pia Holm", "PO-9", "k", HERE)

    assert at_once(once, once) == [True, True]
    assert house.rows(Job) == 1


def test_the_purchaser_and_a_member_at_once_make_one_acceptance(house: House) -> None:
    lot = house.sent()
    token = mailed(house, lot)
    fingerprint = house.sheet(lot).revisions[0].fingerprint

    found = at_once(
        partial(accept_by_link, house.parts, token, fingerprint, "Pia Holm", "", "k1", HERE),
        partial(house.accept, lot, key="k2"),
    )

    assert [type(one) for one in found if isinstance(one, Exception)] == [Refused]
    assert (house.rows(Job), house.sheet(lot).stage) == (1, "accepted")


def test_withdrawn_and_accepted_at_once_is_one_of_the_two(house: House) -> None:
    lot = house.sent()
    token, row = mailed(house, lot), link(house, lot)
    fingerprint = house.sheet(lot).revisions[0].fingerprint

    found = at_once(
        partial(accept_by_link, house.parts, token, fingerprint, "Pia Holm", "", "k1", HERE),
        partial(withdraw_link, house.parts, house.builder, lot, row.id),
    )

    assert [type(one) for one in found if isinstance(one, Exception)] == [Refused]
    assert (house.sheet(lot).stage, link(house, lot).standing) in [
        ("accepted", "accepted"), ("sent", "withdrawn"),
    ]  # fmt: skip


# Two people over an amount.


def test_a_purchasers_yes_is_the_first_of_two_and_a_member_completes_it(lite: House) -> None:
    set_second_over(lite.parts, lite.builder, "100")
    otto = lite.person("builder", "Otto Lind", company_id=lite.builder.company_id)
    lot = lite.sent()
    token = mailed(lite, lot)

    accept(lite, token, order="PO-9")
    between = (seen(lite, token).standing, lite.sheet(lot).stage, link(lite, lot).standing)
    own = refusal(lambda: lite.accept(lot))
    lite.accept(lot, by=otto)

    assert between == ("kept", "sent", "kept")
    assert own.startswith("The first yes came through a link that you had mailed.")
    assert ("second_yes", "otto@example.com") in lite.letters()
    assert ("second_yes", "harriet@example.com") not in lite.letters()
    accepted = lite.sheet(lot).accepted
    assert accepted is not None
    assert (accepted.decided_by, accepted.purchase_order) == ("Otto Lind", "PO-9")
    assert seen(lite, token).standing == "accepted"
    assert ("quote_accepted_copy", PIA) in lite.letters()


def test_a_link_to_a_members_own_address_does_not_make_them_two(lite: House) -> None:
    set_second_over(lite.parts, lite.builder, "100")
    lot = lite.sent()
    token = mailed(lite, lot, by=lite.office, email="Harriet@Example.com")

    accept(lite, token)

    assert (
        refusal(lambda: lite.accept(lot)) == "Your yes is kept already. The second has to be somebody else’s."
    )


def test_a_purchaser_is_never_the_second(lite: House) -> None:
    set_second_over(lite.parts, lite.builder, "100")
    lot = lite.sent()
    token = mailed(lite, lot, by=lite.office)
    lite.accept(lot)

    quote = seen(lite, token).quote
    said = refusal(lambda: accept(lite, token))

    assert quote is not None and quote.first_given
    assert (
        said == "One yes is given already. The second has to come from somebody of the company who signs in."
    )
    assert lite.sheet(lot).stage == "sent"


def test_a_purchaser_takes_a_waiting_yes_back_and_answers_anew(lite: House) -> None:
    set_second_over(lite.parts, lite.builder, "100")
    lot = lite.sent()
    token = mailed(lite, lot)
    accept(lite, token, order="PO-9")

    take_back_by_link(lite.parts, token, HERE)

    page = seen(lite, token)
    assert (page.standing, page.answered) == ("open", None)
    decline_by_link(lite.parts, token, lite.sheet(lot).revisions[0].fingerprint, "No.", lite.key(), HERE)
    assert lite.sheet(lot).stage == "declined"


def test_withdrawing_a_link_voids_its_waiting_yes(lite: House) -> None:
    set_second_over(lite.parts, lite.builder, "100")
    otto = lite.person("builder", "Otto Lind", company_id=lite.builder.company_id)
    lot = lite.sent()
    accept(lite, mailed(lite, lot))

    withdrawn(lite, lot)
    lite.accept(lot, by=otto)

    assert lite.sheet(lot).stage == "sent"
    assert [yes.name for yes in answers(lite.parts, otto, lot, 1).yeses] == ["Otto Lind"]


# Mailing and withdrawing.


def test_the_letter_carries_who_what_and_until_when_and_no_price(lite: House) -> None:
    lot = lite.sent()
    until = lite.parts.today() + timedelta(days=7)
    mailed(lite, lot, until=until)

    with lite.parts.store.reading() as work:
        (letter,) = work.session.query(Letter).filter_by(to=PIA).all()
    for words in ("name: Pia Holm", "by: Harriet Finch", "company: Harrow & Finch Homes",
                  "until: 2027-05-11", "quote: Q-2027-0001 rev. 1"):  # fmt: skip
        assert words in letter.text
    assert str(lite.sheet(lot).revisions[0].total) not in letter.text


@pytest.mark.parametrize(
    ("changes", "at"),
    [
        ({"name": ""}, "name"),
        ({"name": "x" * 201}, "name"),
        ({"email": "pia"}, "email"),
        ({"email": "pia@example.org\nBcc: x@example.org"}, "email"),
        ({"until": date(2027, 5, 3)}, "until"),
        ({"until": date(2027, 6, 4)}, "until"),
    ],
)
def test_what_no_link_can_be_made_of_is_told_at_its_field(
    lite: House, changes: dict[str, Any], at: str
) -> None:
    lot = lite.sent()

    assert list(problems(lambda: mailed(lite, lot, **changes))) == [at]


def test_one_link_at_a_time_to_an_address_and_few_to_a_quote(lite: House) -> None:
    lot = lite.sent()
    mailed(lite, lot)

    said = refusal(lambda: mailed(lite, lot, email=PIA.upper()))
    for n in range(MOST_OUT - 1):
        mailed(lite, lot, email=f"p{n}@example.org")
    full = refusal(lambda: mailed(lite, lot, email="one-more@example.org"))
    (mine,) = (row for row in answers(lite.parts, lite.builder, lot, 1).links if row.email == PIA)
    withdraw_link(lite.parts, lite.builder, lot, mine.id)

    assert said.startswith(f"A link to this quote is out to {PIA.upper()} already.")
    assert full == "5 links to this quote are out already. Withdraw one to mail another."
    assert mailed(lite, lot)


def test_a_form_sent_twice_mails_one_link(lite: House) -> None:
    lot = lite.sent()
    for _ in range(2):
        mail_link(lite.parts, lite.builder, lot, 1, "Pia Holm", PIA, None, "k")

    assert lite.rows(PurchaserLink) == 1


def test_only_a_quote_that_is_out_is_mailed(lite: House) -> None:
    with pytest.raises(NotFound):
        mail_link(lite.parts, lite.builder, lite.approved(), 1, "Pia Holm", PIA, None, lite.key())
    assert refusal(lambda: mailed(lite, lite.accepted())) == "This quote is already accepted."


def test_another_lots_link_is_not_there_and_a_used_one_is_not_withdrawn(lite: House) -> None:
    lot, other = lite.sent(), lite.sent()
    token, row = mailed(lite, lot), link(lite, lot)

    with pytest.raises(NotFound):
        withdraw_link(lite.parts, lite.builder, other, row.id)
    accept(lite, token)
    assert refusal(lambda: withdrawn(lite, lot)) == "This link cannot be used any more as it is."
