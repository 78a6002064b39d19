"""What a person of a builder's company may do beyond asking and looking."""

from __future__ import annotations

import ast
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from portal.acts import billing, colleagues, desk, mails, papers, quoting
from portal.acts.parts import RIGHTS, SYSTEM, Actor, has, must_have
from portal.core.errors import NotAllowed, NotFound
from portal.core.journey import MONEY_APART
from portal.store.people import RIGHT_COLUMNS
from portal.store.reads import LotFilter
from portal.store.tables import Letter
from tests.acts.test_colleagues import joined
from tests.parts.house import House

pytestmark = pytest.mark.slow


def test_each_right_has_a_column() -> None:
    assert set(RIGHT_COLUMNS) == set(RIGHTS)


@pytest.mark.parametrize("right", RIGHTS)
def test_a_builder_has_the_rights_that_were_given_and_the_office_needs_none(right: str) -> None:
    given = Actor("p", "Ada", "ada@example.com", "builder", rights=frozenset({right}))
    office = Actor("o", "Olga", "olga@example.com", "office")

    assert has(given, right) and has(office, right) and has(SYSTEM, right)
    assert not has(replace(given, rights=frozenset(RIGHTS) - {right}), right)
    assert not has(replace(office, kind="technician"), right)
    with pytest.raises(NotAllowed, match="not among your rights"):
        must_have(replace(given, rights=frozenset()), right)


def test_an_answer_to_a_quote_takes_the_right_to_it(lite: House) -> None:
    lot = lite.sent()
    asker = replace(lite.builder, rights=frozenset({"money", "people"}))
    stranger = lite.rival
    seen = lite.sheet(lot).revisions[0].fingerprint

    acts: tuple[Callable[[Actor], None], ...] = (
        lambda who: quoting.accept(lite.parts, who, lot, 1, seen, "Ada Finch", "", lite.key()),
        lambda who: quoting.decline(lite.parts, who, lot, 1, "Too dear.", lite.key()),
    )
    for act in acts:
        with pytest.raises(NotAllowed, match="Answering quotes is not among your rights"):
            act(asker)
        with pytest.raises(NotFound):
            act(stranger)

    assert lite.sheet(lot).stage == "sent"


ROOT = Path(__file__).resolve().parents[2]
FOUND = {"1.1.W": "sided"}  # a wall found otherwise than quoted: what is billed is not what was quoted


def test_without_money_a_lot_shows_no_invoice_no_payment_and_no_stage_that_tells_of_one(lite: House) -> None:
    asker, lot = joined(lite, "accept", "people"), lite.treated(found=FOUND)
    lite.pay(lot, "100")

    seen, whole = lite.sheet(lot, by=asker), lite.sheet(lot, by=lite.builder)

    assert (seen.invoice, seen.sees_money, seen.may_answer) == (None, False, True)
    assert (seen.stage, whole.stage) == (MONEY_APART, "part paid")
    assert seen.sheets == ("done", "done", "done", "now", "next")
    verbs = [(line.verb.template, line.subject) for line in seen.history]
    assert not any("payment" in verb or "invoice" in verb or "INV" in subject for verb, subject in verbs)
    assert any("payment" in line.verb.template for line in whole.history)
    assert seen.record is not None and seen.revisions[0].total is not None


def test_without_money_lists_show_what_was_quoted_and_no_filter_tells_more(lite: House) -> None:
    asker, lot, other = joined(lite), lite.treated(found=FOUND), lite.sent()
    lite.pay(lot, "100")
    billed, quoted = lite.invoice(lot).document.owed.total, lite.sheet(lot).revisions[0].total
    assert billed != quoted

    def rows(by: Actor, *stages: str) -> dict[str, tuple[str, str]]:
        found = desk.list_lots(lite.parts, by, LotFilter(stages=stages)).rows
        return {row.id: (row.stage, row.price) for row in found}

    assert rows(lite.builder)[lot] == ("part paid", str(billed))
    assert rows(asker)[lot] == (MONEY_APART, str(quoted))
    assert rows(asker)[other] == rows(lite.builder)[other]
    assert desk.list_lots(lite.parts, asker, LotFilter()).counts == {MONEY_APART: 1, "sent": 1}
    for stage in ("treated", "part paid", "paid", MONEY_APART):
        assert list(rows(asker, stage)) == [lot]
    assert list(rows(asker, "sent")) == [other]


def test_without_money_there_is_no_invoice_to_be_had(lite: House) -> None:
    asker, lot = joined(lite, "accept", "people"), lite.treated()

    for _time in ("made anew", "kept"):
        with pytest.raises(NotAllowed, match="Money is not among your rights"):
            papers.paper(lite.parts, asker, lot, "invoice")
        assert papers.paper(lite.parts, lite.builder, lot, "invoice").content
    with pytest.raises(NotAllowed):
        billing.money_in(lite.parts, asker)
    with pytest.raises(NotFound):
        papers.paper(lite.parts, replace(lite.rival, rights=frozenset()), lot, "invoice")

    kinds = {row.kind for row in papers.papers_of(lite.parts, asker, lot)}
    by_lot = papers.papers_of_lots(lite.parts, asker, (lot,))[lot]
    assert kinds == {row.kind for row in by_lot} == {"quote", "acceptance", *papers.OF_RECORD}


def letters_about(house: House, lot: str, to: str) -> list[Letter]:
    """The letters about a lot to somebody, in the order they were written."""
    with house.parts.store.reading() as work:
        rows = work.session.query(Letter).filter(Letter.lot_id == lot, Letter.to == to)
        return list(rows.order_by(Letter.written_at, Letter.id))


def kinds_about(house: House, lot: str, who: Actor) -> list[str]:
    return sorted(one.subject for one in letters_about(house, lot, who.email))


def test_the_letter_about_a_treatment_names_the_invoice_only_to_who_sees_money(lite: House) -> None:
    lite.use_real()
    asker = lite.person("builder", "Ada Quist", company_id=lite.builder.company_id, rights=())
    lot = lite.treated()
    invoice = lite.invoice(lot).document

    told, whole = (
        next(one for one in letters_about(lite, lot, who.email) if one.subject.startswith("Treated"))
        for who in (asker, lite.builder)
    )

    total = f"${invoice.owed.total:,}"
    assert invoice.number in whole.subject and total in whole.text and total in whole.html
    for text in (told.subject, told.text, told.html):
        assert invoice.number not in text and total not in text and "nvoice" not in text


def test_each_gets_the_letters_that_they_want_and_may_have(lite: House) -> None:
    asker, harriet = joined(lite), lite.builder
    colleagues.choose_letters(lite.parts, asker, ("days", "money"))
    lot = lite.booked()
    colleagues.choose_letters(lite.parts, harriet, ("money",))
    lite.clock.turn_to(lite.parts.today(), 18)
    lite.mark(lot, lite.entry(lot))

    assert kinds_about(lite, lot, asker) == ["booked"]
    assert kinds_about(lite, lot, harriet) == ["billed", "booked", "quote_accepted_copy", "quote_sent"]


def test_nobody_is_told_twice_of_one_treatment(lite: House) -> None:
    lot = lite.treated()

    kinds = kinds_about(lite, lot, lite.builder)

    assert kinds.count("treated") == 1 and "billed" not in kinds


def test_the_copy_of_ones_own_answer_always_comes(lite: House) -> None:
    colleagues.choose_letters(lite.parts, lite.builder, ())

    assert kinds_about(lite, lite.accepted(), lite.builder) == ["quote_accepted_copy"]


def test_a_choice_of_letters_outlives_a_right_that_comes_and_goes(lite: House) -> None:
    asker = joined(lite, "money")
    colleagues.choose_letters(lite.parts, asker, ("quotes",))
    colleagues.choose_letters(lite.parts, replace(asker, rights=frozenset()), ("quotes", "days"))

    ours = colleagues.our_company(lite.parts, asker)

    assert ours.letters == ("quotes", "days")
    assert set(ours.letters_to_have) == {kind.key for kind in mails.KINDS}
    without = colleagues.our_company(lite.parts, replace(asker, rights=frozenset()))
    assert "money" not in without.letters_to_have


def mailed_to_builders() -> set[str]:
    """The letters that acts write to everybody of a builder's, read from their syntax trees."""
    found = set()
    for path in (ROOT / "portal" / "acts").glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "mail_builder":
                found |= {arg.value for arg in node.args[2:3] if isinstance(arg, ast.Constant)}
    return found


def test_every_letter_to_a_builders_people_is_of_a_kind_that_can_be_turned_off() -> None:
    assert mailed_to_builders() == {letter for kind in mails.KINDS for letter in kind.letters}
    assert all(kind.right in ("", *RIGHTS) for kind in mails.KINDS)
    assert mails.kind_of("invitation") == mails.kind_of("quote_accepted_copy") == ""
    assert mails.wants((), ("quotes",), "invitation") and not mails.wants((), (), "billed")
