"""Every page of every kind of user in the demo, by address: what a sweep over all pages visits.

A new route without a visit turns the sweeps red (`unvisited`), as does a visit to a page that is gone.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal
from itertools import count, product

from flask import Flask
from msgspec import structs

from portal.acts import (
    adding,
    agreeing,
    amending,
    asking,
    bank_lines,
    banking,
    billing,
    by_link,
    chase,
    disputing,
    holder_page,
    holding,
    many,
    many_entered,
    office_transfers,
    outbox,
    package_lists,
    people,
    plan_views,
    purchasing,
    recalling,
    renewal_desk,
    renewal_told,
    reporting,
    sheet,
    transferring,
    troubles,
)
from portal.acts.agreeing import AgreementAsked
from portal.acts.amending import PageTyped
from portal.acts.asking import LotAsked
from portal.acts.bouncing import bounce
from portal.acts.paying import Typed, receive_payment
from portal.acts.second_person import set_second_over
from portal.acts.using_credit import refund
from portal.store import holders, renewals, warranties
from seed_demo.scenario import cast
from tests.parts.demo import Demo

SHEETS = ("takeoff", "quote", "treatment", "invoice", "warranty")
EDITIONS = ("rates", "product", "crew", "terms", "firm")
#: Answers of a GET that are no pages of ours: files, and the way on to somebody's first page.
NO_PAGES = {
    "builder.many_template", "builder.many_to_mend",
    "static", "front.home", "front.font", "front.health", "builder.paper", "office.paper", "field.sheet",
    "builder.papers_zip", "builder.lot_zip",
    "front.calendar",
    "office.bill_draft", "office.money_paper", "builder.money_paper",
    "office.money_summary", "builder.money_summary",
    "homeowner.certificate", "homeowner.own_certificate", "homeowner.public_keys", "office.evidence",
    "office.register_csv", "purchaser.paper",
    "office.statement", "builder.statement",
    "builder.package_paper", "office.package_paper", "office.entries_csv", "office.balance_csv",
    "office.tax_csv", "office.plain_file", "field.load_paper", "office.load_paper", "field.signal",
    "field.show_photo", "office.lot_photo", "builder.lot_photo", "office.trouble_photo",
    "homeowner.bill", "builder.closing_packet", "office.closing_packet", "homeowner.own_packet",
    "front.my_data", "homeowner.own_data",
    "worker.script",
}  # fmt: skip


@dataclass(frozen=True)
class Visit:
    """A page: its route, who looks at it (a first name of the demo's, or nobody), its path."""

    endpoint: str
    who: str
    path: str


def every_page(demo: Demo) -> list[Visit]:
    """All pages. The demo has somebody invited and every kind of link added to it."""
    return [*_front(demo), *_builder(demo), *_office(demo), *_recalls(demo), *_trouble(demo), *_renewal(demo),
            *_chased(demo), *_field(demo), *_homeowner(demo),
            *_records(demo), *_purchaser(demo)]  # fmt: skip


def unvisited(app: Flask, visits: list[Visit]) -> set[str]:
    """Routes that answer a GET with a page and are not visited; or are visited, and are not there."""
    routes = {rule.endpoint for rule in app.url_map.iter_rules() if "GET" in (rule.methods or ())}
    return (routes - NO_PAGES) ^ {visit.endpoint for visit in visits}


def _front(demo: Demo) -> Iterator[Visit]:
    odile = demo.person("Odile")
    invited = people.invite(demo.parts, odile, "technician", "Juno Ashby", "juno@plumbline.example.com",
                            certificate="CA-0612")  # fmt: skip
    joining = demo.parts.tokens.make("invitation", {"person": invited, "turn": 0})
    resetting = demo.parts.tokens.make("reset", {"person": odile.person_id, "turn": 1})
    yield Visit("front.sign_in", "", "/sign-in")
    yield Visit("front.privacy", "", "/privacy")
    yield Visit("front.privacy", "Odile", "/privacy")
    yield Visit("front.forgot", "", "/forgot")
    yield Visit("front.join", "", f"/join/{joining}")
    yield Visit("front.reset", "", f"/reset/{resetting}")
    fewer = demo.parts.tokens.make("letters", {"person": demo.person("Tilda").person_id, "kind": "days"})
    yield Visit("front.fewer", "", f"/fewer/{fewer}")
    yield Visit("front.letters", "", "/letters")
    newest, *_older, oldest = outbox.letters(demo.parts)
    yield from (Visit("front.letter", "", f"/letters/{letter.id}") for letter in (newest, oldest))


def _builder(demo: Demo) -> Iterator[Visit]:
    yield Visit("builder.lots", "Harriet", "/lots")
    yield Visit("builder.lots", "Harriet", "/lots?stage=pay")
    yield Visit("builder.lots", "Harriet", "/lots?text=no+such+lot")
    yield Visit("builder.calendar", "Harriet", "/lots/calendar")
    yield Visit("builder.frame_days", "Harriet", f"/lots/{demo.lot(6)}/frame-days")
    yield Visit("builder.ask", "Harriet", "/ask")
    yield from _plans(demo)
    yield Visit("builder.papers", "Harriet", "/papers")
    yield Visit("builder.papers", "Tilda", "/papers?subdivision=Quarry+Bend")
    yield Visit("builder.second", "Harriet", "/people/second-yes")
    tilda = demo.person("Tilda").person_id
    for who in ("Harriet", "Tilda"):
        yield Visit("builder.people", who, "/people")
    yield Visit("builder.person", "Harriet", f"/people/{tilda}")
    yield Visit("builder.remove_person", "Harriet", f"/people/{tilda}/remove")
    yield Visit("builder.lots", "Tilda", "/lots?stage=treated")
    yield from (
        Visit("builder.lot", "Tilda", f"/lots/{demo.lot(n)}/{name}")
        for n, name in ((3, "invoice"), (7, "quote"))
    )
    yield Visit("builder.packages", "Harriet", "/packages")
    yield Visit("builder.put_together", "Harriet", "/packages/new")
    yield Visit("builder.package", "Harriet", f"/packages/{_package(demo, 'Harriet')}")
    yield Visit("builder.change", "Bram", f"/lots/{demo.lot(12)}/change")
    yield Visit("builder.ask_again", "Harriet", f"/lots/{demo.lot(9)}/ask-again")
    yield from (Visit("builder.lot", "Harriet", f"/lots/{demo.lot(1)}/{name}") for name in SHEETS)
    yield from (Visit("builder.lot", "Bram", f"/lots/{demo.lot(12)}/{name}") for name in SHEETS)
    yield from (Visit("builder.lot", "Bram", f"/lots/{_without_a_day(demo)}/{name}") for name in SHEETS[:3])
    yield Visit("builder.lot", "Harriet", f"/lots/{demo.lot(7)}/quote?revision=1&against=2")
    for number, name in ((7, "quote"), (8, "quote"), (9, "quote"), (5, "treatment"), (3, "invoice")):
        yield Visit("builder.lot", "Harriet", f"/lots/{demo.lot(number)}/{name}")
    yield from _many(demo)


def _many(demo: Demo) -> Iterator[Visit]:
    """Lists of lots: one with columns to be named, one to look at, one being entered, one that is done."""
    harriet, keys = demo.person("Harriet"), count(1)
    head = "Lot,Address,Town,State,ZIP code,Foundation,Exterior feet,Interior feet,Siding"
    own = "Parcel,Where it is,Which town,Which State,Code,Stands upon,Feet outside,Feet inside,Cladding"

    def row(number: int, feet: str = "168", siding: str = "open") -> str:
        return f"Lot {number},{number} Lime Kiln Lane,Marlow Ferry,IA,52999,slab,{feet},128,{siding}\n"

    def read(*rows: str, named: str = head) -> str:
        sheet_ = f"{named}\n{''.join(rows)}".encode()
        number = next(keys)
        return many.read(demo.parts, harriet, f"Quarry Bend {number}", sheet_, f"list-{number}")

    yield Visit("builder.many", "Harriet", "/many")
    yield Visit("builder.many_columns", "Harriet", "/many/columns")
    yield Visit("builder.many_names", "Harriet", f"/many/{read(row(710), named=own)}/columns")
    looked = read(row(711), row(712), row(711), row(713, feet="168' 14\"", siding="?"))
    yield Visit("builder.many_look", "Harriet", f"/many/{looked}")
    yield Visit("builder.many_look", "Harriet", f"/many/{looked}?show=entered")
    done = read(row(714), row(715), row(716, feet="-"))
    many_entered.enter(demo.parts, harriet, done)
    many_entered.go_on_with_all(demo.parts)
    yield Visit("builder.many_look", "Harriet", f"/many/{done}")
    begun = read(row(717), row(718))
    many_entered.enter(demo.parts, harriet, begun)
    yield Visit("builder.many_look", "Harriet", f"/many/{begun}?still=1")


def _plans(demo: Demo) -> Iterator[Visit]:
    known = {row.name: row.id for row in plan_views.list_plans(demo.parts, demo.person("Harriet"))}
    yield Visit("builder.plans", "Harriet", "/plans")
    yield Visit("builder.plans", "Bram", "/plans")
    yield Visit("builder.new_plan", "Harriet", "/plans/new")
    yield from (Visit("builder.plan", "Harriet", f"/plans/{plan}") for plan in known.values())
    yield Visit("builder.plan", "Harriet", f"/plans/{known['The Linnet']}?edition=1")
    yield Visit("builder.new_edition", "Harriet", f"/plans/{known['The Linnet']}/edition")
    yield Visit("builder.ask", "Harriet", f"/ask?plan={known['The Linnet']}&mirrored=yes")
    yield Visit("builder.lot", "Harriet", f"/lots/{demo.lot(10)}/takeoff")
    yield Visit("office.lot", "Odile", f"/office/lots/{demo.lot(10)}/takeoff")


def _package(demo: Demo, name: str) -> str:
    """The newest package that this person sees."""
    return package_lists.list_packages(demo.parts, demo.person(name))[0].id


def _without_a_day(demo: Demo) -> str:
    """A lot asked for like lot 12, of which nobody said when siding starts: its sheets ask for that."""
    bram = demo.person("Bram")
    like = sheet.sheet(demo.parts, bram, demo.lot(12))
    place = {field: value for field, value in structs.asdict(like.place).items() if field != "lot"}
    asked = LotAsked(**place, name="Lot 15", siding_starts=None, insulation_starts=None, notes="",
                     house=like.takeoff.house)  # fmt: skip
    return asking.ask(demo.parts, bram, asked, "lot-15")


def _office(demo: Demo) -> Iterator[Visit]:
    for endpoint, path in (
        ("today", "today"), ("lots", "lots"), ("lots", "lots?text=nowhere"), ("crew_days", "crew-days"),
        ("money_in", "money"), ("money_in", "money?show=all"), ("register", "warranties"),
        ("register", "warranties?text=nothing"),
        ("register", "warranties?state=in+force&year=2027"), ("rate_book", "rates"), ("lessons", "lessons"),
        ("people", "people"), ("chase", "chase"), ("chasing", "rates/chasing"),
        ("books", "books"), ("books", "books?on=2000-01-01"),
        ("book_account", "books/account?name=receivable"),
        ("book_account", "books/account?name=cash%3A+check&since=2026-01-01"),
        ("book_entry", "books/entry/1"),
        ("tax_owed", "books/tax-owed"), ("tax_owed", "books/tax-owed?since=2026-01-01"),
        ("month", "books/month"), ("margin", "margin"), ("margin", "margin?by=subdivision&since=2020-01-01"),
    ):  # fmt: skip
        yield Visit(f"office.{endpoint}", "Odile", f"/office/{path}")
    yield from _payments(demo)
    tilda = demo.person("Tilda").person_id
    yield Visit("office.person", "Terrence", f"/office/people/{tilda}")
    yield Visit("office.bill", "Terrence", "/office/bill")
    yield Visit("office.bill_lot", "Terrence", f"/office/bill/lots/{demo.lot(5)}")
    yield Visit("office.bill_package", "Terrence", f"/office/bill/packages/{_package(demo, 'Odile')}")
    owing = sheet.sheet(demo.parts, demo.person("Odile"), demo.lot(3)).invoice
    assert owing is not None
    for endpoint, act in (("credit", "credit"), ("rebill", "rebill"), ("release_retainage", "release")):
        yield Visit(f"office.{endpoint}", "Terrence", f"/office/invoices/{owing.id}/{act}")
    billing = f"/office/people/builders/{demo.person('Tilda').company_id}/billing"
    yield from (Visit("office.billing_terms", who, billing) for who in ("Odile", "Terrence"))
    yield Visit("office.remove_person", "Terrence", f"/office/people/{tilda}/remove")
    wendell = demo.person("Wendell").person_id
    yield Visit("office.certificate", "Odile", f"/office/people/technicians/{wendell}")
    yield Visit("office.crew_days", "Odile", f"/office/crew-days?lot={demo.lot(6)}")
    yield Visit("office.crew_days", "Odile", "/office/crew-days?begin=2027-06-14")
    yield Visit("office.find_day", "Odile", "/office/crew-days/find")
    wendell = demo.person("Wendell").person_id
    yield Visit("office.load", "Odile", f"/office/crew-days/load/{wendell}/{demo.clock().date().isoformat()}")
    yield Visit("office.technician", "Odile", f"/office/technicians/{demo.person('Wendell').person_id}")
    yield Visit("office.frame_days", "Odile", f"/office/lots/{demo.lot(6)}/frame-days")
    yield Visit("office.packages", "Odile", "/office/packages")
    yield Visit("office.package", "Odile", f"/office/packages/{_package(demo, 'Odile')}")
    yield Visit("office.rate_book", "Terrence", "/office/rates")
    yield Visit("office.agreements", "Odile", "/office/agreements")
    asked = AgreementAsked(
        demo.person("Tilda").company_id or "", "", demo.parts.today() + timedelta(days=30), None,
        {"percent": "4"},
    )  # fmt: skip
    agreeing.agree(demo.parts, demo.person("Odile"), asked, "every page")
    for one in agreeing.list_agreements(demo.parts, demo.person("Odile"))[:1]:
        yield Visit("office.agreement", "Odile", f"/office/agreements/{one.id}")
    yield from (Visit("office.edition", "Odile", f"/office/rates/{kind}") for kind in EDITIONS)
    yield Visit("office.tax", "Odile", "/office/tax")
    yield Visit("office.tax", "Terrence", "/office/tax")
    yield Visit("office.tax_table", "Odile", "/office/tax/table")
    harriet = demo.person("Harriet").company_id
    yield Visit("office.exemptions", "Terrence", f"/office/builders/{harriet}/exemptions")
    yield Visit("office.correct", "Terrence", f"/office/lots/{demo.lot(11)}/correct")
    of_stage = {"quote": (11, 10, 7, 9), "treatment": (6, 5, 4), "invoice": (4, 3), "warranty": (2,)}
    shown = [*product((1, 12), SHEETS), *((n, name) for name, lots in of_stage.items() for n in lots)]
    for number, name in shown:
        yield Visit("office.lot", "Odile", f"/office/lots/{demo.lot(number)}/{name}")


def _payments(demo: Demo) -> Iterator[Visit]:
    """Payments: one ahead, of which a part is paid back, one that did not hold, one on an invoice."""
    odile = demo.person("Odile")
    company, today = demo.person("Harriet").company_id or "", demo.parts.today()
    ahead, gone = (
        receive_payment(demo.parts, odile, company, Typed("120.00", "check", number, today, "none"), number)
        for number in ("2301", "2302")
    )
    refund(demo.parts, odile, company, "20", "check", "R-1", today, "Paid twice.", "refund")
    bounce(demo.parts, odile, gone, "bounced", today, "No funds.", "bounce")
    lot = sheet.sheet(demo.parts, odile, demo.lot(3))
    assert lot.invoice is not None
    paid = lot.invoice.payments[0].id
    yield Visit("office.payments", "Odile", "/office/payments")
    yield Visit("office.account", "Odile", f"/office/payments/builders/{company}")
    yield Visit("office.receive", "Odile", f"/office/payments/builders/{company}/new")
    yield from (Visit("office.payment", "Odile", f"/office/payments/{one}") for one in (ahead, gone, paid))
    yield Visit("office.bounced", "Odile", f"/office/payments/{paid}/bounced")
    yield Visit("office.write_off", "Odile", f"/office/invoices/{lot.invoice.id}/write-off")
    yield Visit("builder.payments", "Harriet", "/papers/payments")
    yield from _bank(demo)


def _bank(demo: Demo) -> Iterator[Visit]:
    """A bank's list whose columns are to be named, and one that was read, with a line of each kind."""
    odile, today = demo.person("Odile"), demo.parts.today()
    number = next(row.number for row in billing.money_in(demo.parts, odile) if row.open)
    head = b"Date,Description,Amount\n"
    rows = f"{today},WIRE {number},5.00\n{today},Interest,1.00\n{today},Fee,-2.00\n".encode()
    naming = banking.read(demo.parts, odile, "To be named", b"When,What,How much\n1/1/2027,x,1\n", "naming")
    done = banking.read(demo.parts, odile, "May", head + rows, "bank")
    banking.name_columns(demo.parts, odile, done, ["day", "text", "amount"], "year", "point")
    wire, interest = bank_lines.look(demo.parts, odile, done).lines
    bank_lines.set_aside(demo.parts, odile, interest.id, "The bank’s interest.")
    yield Visit("office.bank", "Odile", "/office/bank")
    yield Visit("office.bank_columns", "Odile", f"/office/bank/{naming}/columns")
    yield from (Visit("office.bank_list", "Odile", f"/office/bank/{done}{show}")
                for show in ("", "?show=aside", "?show=out", "?show=taken"))  # fmt: skip
    yield Visit("office.bank_line", "Odile", f"/office/bank/lines/{wire.id}")
    company = demo.person("Harriet").company_id
    yield Visit("office.bank_line", "Odile", f"/office/bank/lines/{wire.id}?builder={company}")


def _chased(demo: Demo) -> Iterator[Visit]:
    """An invoice that is late, as the office and its builder have it, and the builder's account."""
    late = chase.chase(demo.parts, demo.person("Odile")).late[0].row
    at = f"/office/chase/{late.id}"
    yield Visit("office.chase_builder", "Odile", f"/office/chase/builders/{late.company_id}")
    yield Visit("builder.account", "Harriet", "/account")
    disputing.dispute(demo.parts, demo.person("Harriet"), late.id, "A")
    yield Visit("office.chase_invoice", "Odile", at)
    yield Visit("builder.dispute", "Harriet", f"/invoices/{late.id}/dispute")
    yield Visit("office.chase", "Odile", "/office/chase")
    yield Visit("office.today", "Odile", "/office/today")


def _records(demo: Demo) -> Iterator[Visit]:
    """A record that was sent back, as the office and its technician have it, and one that is amended."""
    odile, back, amended = demo.person("Odile"), demo.lot(4), demo.lot(1)

    def version(lot: str) -> int:
        return sheet.sheet(demo.parts, odile, lot).version

    said = PageTyped("product", "A", "B", "C")
    amending.amend(demo.parts, odile, amended, version(amended), said)
    amending.send_back(demo.parts, odile, back, version(back), "A")
    for lot in (back, amended):
        yield Visit("office.lot", "Odile", f"/office/lots/{lot}/treatment")
    yield Visit("builder.lot", "Harriet", f"/lots/{amended}/treatment")
    yield Visit("homeowner.record", "", demo.record(1))
    yield Visit("field.stops", "Rosa", "/stops")
    yield Visit("field.stop", "Rosa", demo.stop(4))


def _trouble(demo: Demo) -> Iterator[Visit]:
    """Trouble reported at a house in force, and its pages."""
    odile, link = demo.person("Odile"), demo.record(1)
    typed = reporting.TroubleTyped("A soft sill.", "Ada Roe", "ada@example.org", "")
    reporting.report(demo.parts, link.rpartition("/")[2], typed, (), "203.0.113.7", "trouble")
    made = troubles.list_troubles(demo.parts, odile)[0].id
    yield Visit("homeowner.trouble", "", f"{link}/trouble")
    yield Visit("office.troubles", "Odile", "/office/trouble")
    yield Visit("office.trouble", "Odile", f"/office/trouble/{made}")
    asked = adding.AdditionTyped("A sunroom.", None, "Ada Roe", "ada@example.org", "")
    adding.ask_of_lot(demo.parts, odile, demo.lot(1), asked, "addition")
    addition = adding.listed(demo.parts, odile)[0].id
    yield Visit("homeowner.addition", "", f"{link}/addition")
    yield Visit("office.data_asked", "Odile", "/office/people/data")
    yield Visit("office.additions", "Odile", "/office/additions")
    yield Visit("office.addition", "Odile", f"/office/additions/{addition}")
    yield Visit("office.ask_addition", "Odile", f"/office/lots/{demo.lot(1)}/addition")
    yield Visit("builder.ask_addition", "Harriet", f"/lots/{demo.lot(1)}/addition")


def _recalls(demo: Demo) -> Iterator[Visit]:
    """A certificate found bad, with its letters prepared: one of them read."""
    odile = demo.person("Odile")
    asked = recalling.RecallAsked("certificate", cast.TECHNICIANS[0][2])
    mark = recalling.look(demo.parts, odile, asked).mark
    made = recalling.begin(demo.parts, odile, asked, "A", "B", mark, "recall")
    letter = recalling.recall(demo.parts, odile, made).letters[0].id
    yield Visit("office.recalls", "Odile", "/office/recalls")
    yield Visit("office.new_recall", "Odile", "/office/recalls/new")
    yield Visit("office.recall", "Odile", f"/office/recalls/{made}")
    yield Visit("office.recall_letter", "Odile", f"/office/recalls/{made}/letters/{letter}")


def _field(demo: Demo) -> Iterator[Visit]:
    yield Visit("field.stops", "Wendell", "/stops")
    yield Visit("field.calendar", "Wendell", "/stops/calendar")
    yield Visit("field.load", "Wendell", f"/stops/load/{demo.clock().date().isoformat()}")
    yield from (Visit("field.stop", "Wendell", demo.stop(number)) for number in (13, 5, 1))


def _homeowner(demo: Demo) -> Iterator[Visit]:
    yield Visit("homeowner.find", "", "/warranty")
    yield Visit("homeowner.is_it_real", "", "/warranty/is-it-real")
    yield Visit("homeowner.lost", "", "/warranty/lost")
    yield Visit("homeowner.lost_asked", "", "/warranty/lost/asked")
    yield from (Visit("homeowner.record", "", demo.record(number)) for number in (1, 2))
    yield Visit("homeowner.ask_link", "", "/warranty/mine")
    yield Visit("homeowner.link_asked", "", "/warranty/mine/asked")
    mine, handed = _holders(demo)
    yield Visit("homeowner.mine", "", f"/warranty/mine/{mine}")
    yield Visit("homeowner.handed", "", f"/warranty/handed/{handed}")
    yield Visit("office.handed_on", "Odile", f"/office/lots/{demo.lot(1)}/handed-on")


def _holders(demo: Demo) -> tuple[str, str]:
    """The tokens of a holder's page, and of the one to whom the warranty is handed on."""
    odile, today = demo.person("Odile"), demo.parts.today()
    if not holding.holders_of(demo.parts, odile, demo.lot(1)):
        owner = holding.HolderTyped("Ada Roe", "ada@owner.example.org", "", today)
        holding.name_first_owner(demo.parts, odile, demo.lot(1), owner, "first owner")
    with demo.parts.store.reading() as work:
        warranty = warranties.warranty_of(work, demo.lot(1))
        assert warranty is not None
        holder = holders.holder_now(work, warranty.id)
        mine = transferring.holder_token(demo.parts, holder)
    buyer = transferring.NextTyped("Ben Cole", "ben@owner.example.org", today)
    holder_page.ask_transfer(demo.parts, mine, buyer, "hand it on")
    row = office_transfers.transfers_of(demo.parts, odile, demo.lot(1))[-1]
    if row.state == "office":
        office_transfers.agree(demo.parts, odile, demo.lot(1), row.id, "The deed.", "", b"")
    return mine, demo.parts.tokens.make("transfer", {"transfer": row.id})


def _purchaser(demo: Demo) -> Iterator[Visit]:
    """A quote as its purchasers have it: one gave the first yes of two, the other can only say no."""
    set_second_over(demo.parts, demo.person("Harriet"), "500")
    answered, other = _link(demo, "pia@purchaser.example.org"), _link(demo, "ivo@purchaser.example.org")
    quote = by_link.open_link(demo.parts, answered, "", opened=True).quote
    assert quote is not None
    by_link.accept_by_link(demo.parts, answered, quote.fingerprint, "Pia Holm", "PO-7", "pia's yes", "")
    yield from (Visit("purchaser.quote", "", f"/quote/{token}") for token in (answered, other))


def _link(demo: Demo, to: str) -> str:
    """The token of a link to the quote of lot 7, out of its letter."""
    lot, odile = demo.lot(7), demo.person("Odile")
    number = sheet.sheet(demo.parts, odile, lot).revisions[0].number
    purchasing.mail_link(demo.parts, odile, lot, number, "Pia Holm", to, None, to)
    letter = next(letter for letter in outbox.letters(demo.parts) if letter.to == to)
    return letter.text.partition("/quote/")[2].split()[0]


def _renewal(demo: Demo) -> Iterator[Visit]:
    """A renewal that waits for a look at the house, and its pages."""
    odile = demo.person("Odile")
    lot, today = demo.lot(1), demo.parts.today()
    with demo.parts.store.writing() as work:
        warranty = warranties.warranty_of(work, lot)
        assert warranty is not None and warranty.ends_on is not None
        ended_on = warranty.ends_on
        holder = holders.holder_now(work, warranty.id) or holders.add_holder(
            work, warranty.id, name="Ada Roe", email="ada@example.org", phone="", since=today, how="named",
            made_by="Odile Marchbank",
        )  # fmt: skip
        row = renewals.add(
            work, warranty_id=warranty.id, lot_id=lot, holder_id=holder.id, ended_on=ended_on,
            until=ended_on + timedelta(days=1826), last_day=ended_on + timedelta(days=30),
            fee=Decimal("180.00"), rate_edition=0, inspection=True,
        )  # fmt: skip
        made, token = row.id, renewal_told.renewal_token(demo.parts, row, holder)
    yield Visit("homeowner.renew", "", f"/warranty/renew/{token}")
    renewal_desk.answer_for(demo.parts, odile, made, True)
    yield Visit("office.renewals", "Odile", "/office/renewals")
    yield Visit("office.renewal", "Odile", f"/office/renewals/{made}")
