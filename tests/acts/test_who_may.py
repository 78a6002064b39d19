"""Who may do what: every act, tried as every kind of person. An act without a row fails the last test."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterator
from dataclasses import replace
from decimal import Decimal
from functools import partial
from typing import Any

import pytest

from portal.acts import (
    accounts,
    adding,
    agreeing,
    answers,
    asking,
    bank_lines,
    banking,
    bill_page,
    billing,
    billing_terms,
    booking,
    books,
    bouncing,
    by_link,
    calendars,
    chase,
    chase_terms,
    closing,
    colleagues,
    covering,
    crediting,
    crew_schedule,
    data_asked,
    day_finding,
    desk,
    disputing,
    editions,
    entering,
    estimating,
    exempting,
    foreseeing,
    holding,
    interest,
    is_it_real,
    loading,
    losing,
    lot_money,
    lot_terms,
    many,
    many_entered,
    margins,
    money_in,
    office_transfers,
    on_site,
    outbox,
    own_data,
    package_answer,
    package_lists,
    package_office,
    packet,
    packing,
    papers,
    paying,
    people,
    photographing,
    purchasing,
    quoting,
    rebilling,
    recall_letters,
    recalling,
    registering,
    releasing,
    reminding,
    removing,
    renewal_desk,
    renewing,
    reporting,
    retreating,
    sealed,
    second_person,
    shelves,
    statements,
    tax_tables,
    technician_days,
    transferring,
    treating,
    troubles,
    using_credit,
)
from portal.acts import sheet as sheets
from portal.acts.entering import Batch
from portal.acts.frame_days import give_frame_days
from portal.acts.holding import HolderTyped
from portal.acts.package_sheet import package_sheet
from portal.acts.parts import Actor
from portal.acts.paying import Typed
from portal.acts.photographing import Shot
from portal.acts.recalling import RecallAsked
from portal.acts.siding_day import give_siding_day
from portal.acts.transferring import NextTyped
from portal.core.errors import BadInput, NotAllowed, NotFound, Overtaken, Refused
from portal.store.reads import LotFilter
from portal.store.registered import RegisterFilter
from tests.parts.house import PIXEL, Furnished, House, ranch

Call = Callable[[House, Actor, str], Any]


def agreed(house: House) -> str:
    """An agreement with the builder; its id."""
    asked = agreeing.AgreementAsked(
        house.builder.company_id or "", "", house.parts.today(), None, {"percent": "5"}
    )
    agreeing.agree(house.parts, house.owner, asked, house.key())
    return agreeing.list_agreements(house.parts, house.owner)[0].id


KINDS = ("owner", "office", "technician", "builder", "system")

#: Act, who may, and how it is called on a lot that is treated and owed for.
ACTS: list[tuple[Callable[..., Any], str, Call]] = [
    (asking.ask, "builder", lambda h, who, lot: asking.ask(h.parts, who, h.lot_asked(), h.key())),
    (asking.change, "builder office owner",
     lambda h, who, lot: asking.change(h.parts, who, lot, 0, h.lot_asked())),
    (asking.ask_again, "builder", lambda h, who, lot: asking.ask_again(h.parts, who, lot, 0, h.lot_asked())),
    (give_frame_days, "builder office owner",
     lambda h, who, lot: give_frame_days(h.parts, who, lot, 0, None, h.parts.today())),
    (calendars.renew, "builder technician", lambda h, who, lot: calendars.renew(h.parts, who)),
    (calendars.made_at, "builder technician", lambda h, who, lot: calendars.made_at(h.parts, who)),
    (crew_schedule.schedule, "office owner", lambda h, who, lot: crew_schedule.schedule(h.parts, who)),
    (day_finding.propose, "office owner", lambda h, who, lot: day_finding.propose(h.parts, who)),
    (day_finding.take, "office owner", lambda h, who, lot: day_finding.take(h.parts, who, [])),
    (loading.load_sheet, "office owner technician",
     lambda h, who, lot: loading.load_sheet(h.parts, who, h.technician.person_id or "", h.parts.today())),
    (papers.load_paper, "office owner technician",
     lambda h, who, lot: papers.load_paper(h.parts, who, h.technician.person_id or "", h.parts.today())),
    (technician_days.technician_days, "office owner",
     lambda h, who, lot: technician_days.technician_days(h.parts, who, h.technician.person_id or "")),
    (technician_days.set_week, "office owner",
     lambda h, who, lot: technician_days.set_week(h.parts, who, h.technician.person_id or "", ["8"] * 7)),
    (technician_days.add_days_off, "office owner",
     lambda h, who, lot: technician_days.add_days_off(
         h.parts, who, h.technician.person_id or "", h.parts.today(), None, "")),
    (technician_days.drop_day_off, "office owner",
     lambda h, who, lot: technician_days.drop_day_off(
         h.parts, who, h.technician.person_id or "", h.parts.today())),
    (give_siding_day, "builder office owner",
     lambda h, who, lot: give_siding_day(h.parts, who, lot, 0, h.parts.today())),
    (estimating.work_out, "builder office owner", lambda h, who, lot: estimating.work_out(
        h.parts, who, ranch(), lot_id=lot)),
    (estimating.as_quoted, "builder office owner",
     lambda h, who, lot: estimating.as_quoted(
         h.parts, who, h.sheet(lot).revisions[0].document)),
    (tax_tables.tax_tables, "office owner", lambda h, who, lot: tax_tables.tax_tables(h.parts, who)),
    (tax_tables.enter_table, "owner", lambda h, who, lot: tax_tables.enter_table(
        h.parts, who, "Alder", h.parts.today(), {"rates": [{"name": "State", "percent": 6}]}, h.key())),
    (tax_tables.set_place, "owner",
     lambda h, who, lot: tax_tables.set_place(h.parts, who, tax_tables.PlaceSet("default"), "x")),
    (tax_tables.drop_place, "owner", lambda h, who, lot: tax_tables.drop_place(h.parts, who, "x")),
    (exempting.exemptions_of, "office owner",
     lambda h, who, lot: exempting.exemptions_of(h.parts, who, h.builder.company_id or "")),
    (exempting.exempt, "office owner", lambda h, who, lot: exempting.exempt(
        h.parts, who, h.builder.company_id or "",
        exempting.Certificate("R-1", "", h.parts.today(), h.parts.today()), h.key())),
    (exempting.withdraw, "office owner",
     lambda h, who, lot: exempting.withdraw(h.parts, who, h.builder.company_id or "", "x")),
    (many.read, "builder", lambda h, who, lot: many.read(h.parts, who, "x", b"Lot,Town\n1,2\n", h.key())),
    (many.name_columns, "builder", lambda h, who, lot: many.name_columns(h.parts, who, "x", [], {})),
    (many.check_again, "builder", lambda h, who, lot: many.check_again(h.parts, who, "x")),
    (many.look, "builder", lambda h, who, lot: many.look(h.parts, who, "x")),
    (many.samples, "builder", lambda h, who, lot: many.samples(h.parts, who, "x")),
    (many.returned, "builder", lambda h, who, lot: many.returned(h.parts, who, "x")),
    (many.newest, "builder", lambda h, who, lot: many.newest(h.parts, who)),
    (many_entered.enter, "builder", lambda h, who, lot: many_entered.enter(h.parts, who, "x")),
    (many_entered.go_on_for, "builder", lambda h, who, lot: many_entered.go_on_for(h.parts, who, "x")),
    (quoting.start, "office owner", lambda h, who, lot: quoting.start(h.parts, who, lot, 0)),
    (quoting.add_extra, "office owner",
     lambda h, who, lot: quoting.add_extra(h.parts, who, lot, 0, "Stairs", "Two flights", "85")),
    (quoting.drop_extra, "office owner", lambda h, who, lot: quoting.drop_extra(h.parts, who, lot, 0, "x")),
    (quoting.approve, "office owner", lambda h, who, lot: quoting.approve(h.parts, who, lot, 0, "")),
    (quoting.send, "office owner", lambda h, who, lot: quoting.send(h.parts, who, lot, 0)),
    (quoting.revise, "office owner", lambda h, who, lot: quoting.revise(h.parts, who, lot, 0)),
    (quoting.accept, "builder",
     lambda h, who, lot: quoting.accept(h.parts, who, lot, 1, "x", "Name", "", h.key())),
    (quoting.decline, "builder", lambda h, who, lot: quoting.decline(h.parts, who, lot, 1, "No.", h.key())),
    (quoting.take_back, "builder", lambda h, who, lot: quoting.take_back(h.parts, who, lot, 1)),
    (answers.answers, "builder office owner", lambda h, who, lot: answers.answers(h.parts, who, lot, 1)),
    (purchasing.mail_link, "builder office owner", lambda h, who, lot: purchasing.mail_link(
        h.parts, who, lot, 1, "Pia Holm", "pia@example.org", None, h.key())),
    (purchasing.withdraw_link, "builder office owner",
     lambda h, who, lot: purchasing.withdraw_link(h.parts, who, lot, "x")),
    (second_person.second_over, "builder", lambda h, who, lot: second_person.second_over(h.parts, who)),
    (second_person.set_second_over, "builder",
     lambda h, who, lot: second_person.set_second_over(h.parts, who, "100")),
    (booking.technicians, "office owner", lambda h, who, lot: booking.technicians(h.parts, who)),
    (booking.book, "office owner",
     lambda h, who, lot: booking.book(h.parts, who, lot, 0, "x", h.parts.today(), "", "")),
    (booking.call_off, "office owner", lambda h, who, lot: booking.call_off(h.parts, who, lot, 0, "Rain.")),
    (treating.my_stops, "technician", lambda h, who, lot: treating.my_stops(h.parts, who)),
    (treating.stop, "technician", lambda h, who, lot: treating.stop(h.parts, who, h.job(lot))),
    (treating.arrive, "technician", lambda h, who, lot: treating.arrive(h.parts, who, h.job(lot))),
    (treating.keep, "technician", lambda h, who, lot: treating.keep(h.parts, who, h.job(lot), {})),
    (treating.keep_with_time, "technician",
     lambda h, who, lot: treating.keep_with_time(h.parts, who, h.job(lot), {}, "arrived")),
    (treating.keep_as_quoted, "technician",
     lambda h, who, lot: treating.keep_as_quoted(h.parts, who, h.job(lot), {})),
    (treating.mark_treated, "technician",
     lambda h, who, lot: treating.mark_treated(h.parts, who, h.job(lot), {}, h.key())),
    (treating.mark_kept, "technician",
     lambda h, who, lot: treating.mark_kept(h.parts, who, h.job(lot), h.key())),
    (entering.take, "technician",
     lambda h, who, lot: entering.take(h.parts, who, h.job(lot), Batch("x", h.clock(), ()))),
    (entering.pick, "office owner", lambda h, who, lot: entering.pick(h.parts, who, lot, "water", "x")),
    (photographing.add_photo, "technician",
     lambda h, who, lot: photographing.add_photo(h.parts, who, h.job(lot), Shot("", "", "", None, PIXEL))),
    (photographing.stop_photo, "technician",
     lambda h, who, lot: photographing.stop_photo(h.parts, who, h.job(lot), "x", small=True)),
    (photographing.lot_photo, "builder office owner",
     lambda h, who, lot: photographing.lot_photo(h.parts, who, lot, "x", small=True)),
    (on_site.on_site, "builder office owner system",
     lambda h, who, lot: on_site.on_site(h.parts, who, lot)),
    (treating.sign_off, "office owner", lambda h, who, lot: treating.sign_off(h.parts, who, lot)),
    (paying.record_payment, "office owner", lambda h, who, lot: paying.record_payment(
        h.parts, who, h.invoice(lot).id, "1", "check", "", h.parts.today(), h.key())),
    (paying.receive_payment, "office owner", lambda h, who, lot: paying.receive_payment(
        h.parts, who, h.builder.company_id or "", Typed("1", "check", "", h.parts.today()), h.key())),
    (bouncing.bounce, "office owner", lambda h, who, lot: bouncing.bounce(
        h.parts, who, "x", "bounced", h.parts.today(), "No funds.", h.key())),
    (bouncing.write_off, "owner", lambda h, who, lot: bouncing.write_off(
        h.parts, who, h.invoice(lot).id, "1", "Gone.", h.key())),
    (using_credit.use_credit, "office owner", lambda h, who, lot: using_credit.use_credit(
        h.parts, who, h.builder.company_id or "", {h.invoice(lot).id: "1"}, h.key())),
    (using_credit.refund, "office owner", lambda h, who, lot: using_credit.refund(
        h.parts, who, h.builder.company_id or "", "1", "check", "", h.parts.today(), "Twice.", h.key())),
    (banking.read, "office owner",
     lambda h, who, lot: banking.read(h.parts, who, "May", b"Date,Amount\n2027-05-04,7\n", h.key())),
    (banking.preview, "office owner", lambda h, who, lot: banking.preview(h.parts, who, "x")),
    (banking.name_columns, "office owner",
     lambda h, who, lot: banking.name_columns(h.parts, who, "x", [], "year", "point")),
    (banking.drop, "office owner", lambda h, who, lot: banking.drop(h.parts, who, "x")),
    (banking.newest, "office owner", lambda h, who, lot: banking.newest(h.parts, who)),
    (bank_lines.look, "office owner", lambda h, who, lot: bank_lines.look(h.parts, who, "x")),
    (bank_lines.line, "office owner", lambda h, who, lot: bank_lines.line(h.parts, who, "x")),
    (bank_lines.take, "office owner", lambda h, who, lot: bank_lines.take(
        h.parts, who, "x", h.builder.company_id or "", Typed("1", "check", "", None), h.key())),
    (bank_lines.known_already, "office owner",
     lambda h, who, lot: bank_lines.known_already(h.parts, who, "x", "x")),
    (bank_lines.set_aside, "office owner", lambda h, who, lot: bank_lines.set_aside(h.parts, who, "x", "")),
    (bank_lines.take_up, "office owner", lambda h, who, lot: bank_lines.take_up(h.parts, who, "x")),
    (accounts.accounts, "office owner", lambda h, who, lot: accounts.accounts(h.parts, who)),
    (accounts.account, "office owner",
     lambda h, who, lot: accounts.account(h.parts, who, h.builder.company_id or "")),
    (accounts.own_account, "builder", lambda h, who, lot: accounts.own_account(h.parts, who)),
    (accounts.newest, "office owner", lambda h, who, lot: accounts.newest(h.parts, who)),
    (accounts.payment, "office owner", lambda h, who, lot: accounts.payment(h.parts, who, "x")),
    (accounts.invoice_open, "owner",
     lambda h, who, lot: accounts.invoice_open(h.parts, who, h.invoice(lot).id)),
    (margins.look, "office owner", lambda h, who, lot: margins.look(h.parts, who)),
    (margins.of_lot, "office owner", lambda h, who, lot: margins.of_lot(h.parts, who, lot)),
    (books.look, "office owner", lambda h, who, lot: books.look(h.parts, who)),
    (books.account, "office owner", lambda h, who, lot: books.account(h.parts, who, "receivable")),
    (books.entry, "office owner", lambda h, who, lot: books.entry(h.parts, who, 1)),
    (books.tax_owed, "office owner", lambda h, who, lot: books.tax_owed(h.parts, who)),
    (books.entries, "office owner",
     lambda h, who, lot: books.entries(h.parts, who, h.parts.today(), h.parts.today())),
    (books.plain_file, "office owner", lambda h, who, lot: books.plain_file(h.parts, who, h.parts.today())),
    (closing.look, "office owner", lambda h, who, lot: closing.look(h.parts, who)),
    (closing.close_month, "owner",
     lambda h, who, lot: closing.close_month(h.parts, who, h.parts.today(), "")),
    (billing.money_in, "builder office owner", lambda h, who, lot: billing.money_in(h.parts, who)),
    (chase.chase, "office owner", lambda h, who, lot: chase.chase(h.parts, who)),
    (chase.invoice_chase, "builder office owner",
     lambda h, who, lot: chase.invoice_chase(h.parts, who, h.invoice(lot).id)),
    (chase_terms.chase_terms, "office owner", lambda h, who, lot: chase_terms.chase_terms(h.parts, who)),
    (chase_terms.enter_chase_terms, "owner",
     lambda h, who, lot: chase_terms.enter_chase_terms(h.parts, who, h.parts.today(), {}, h.key())),
    (disputing.dispute, "builder office owner",
     lambda h, who, lot: disputing.dispute(h.parts, who, h.invoice(lot).id, "Too much.")),
    (disputing.settle_dispute, "builder office owner",
     lambda h, who, lot: disputing.settle_dispute(h.parts, who, h.invoice(lot).id, "It was not.")),
    (disputing.promise, "office owner",
     lambda h, who, lot: disputing.promise(h.parts, who, h.invoice(lot).id, h.parts.today(), "They", "")),
    (interest.bill_interest, "office owner", lambda h, who, lot: interest.bill_interest(
        h.parts, who, h.invoice(lot).id, h.parts.today(), Decimal(1), h.key())),
    (statements.account, "builder office owner",
     lambda h, who, lot: statements.account(h.parts, who, h.builder.company_id or "")),
    (statements.make_statement, "builder office owner", lambda h, who, lot: statements.make_statement(
        h.parts, who, h.builder.company_id or "", h.parts.today(), h.parts.today(), h.key())),
    (statements.send_statement, "office owner",
     lambda h, who, lot: statements.send_statement(h.parts, who, "x", h.key())),
    (papers.statement, "builder office owner", lambda h, who, lot: papers.statement(h.parts, who, "x")),
    (covering.keep_held, "office owner", lambda h, who, lot: covering.keep_held(h.parts, who, lot,
    "A notice.")),
    (sealed.replace_link, "office owner", lambda h, who, lot: sealed.replace_link(
        h.parts, who, lot, "Lost.")),
    (covering.release, "office owner", lambda h, who, lot: covering.release(h.parts, who, lot)),
    (covering.make_void, "owner", lambda h, who, lot: covering.make_void(h.parts, who, lot, "Cut through.")),
    (holding.name_first_owner, "builder office owner", lambda h, who, lot: holding.name_first_owner(
        h.parts, who, lot, HolderTyped("Ada Roe", "ada@example.org", "", h.parts.today()), h.key())),
    (holding.holders_of, "builder office owner system",
     lambda h, who, lot: holding.holders_of(h.parts, who, lot)),
    (office_transfers.transfers_of, "office owner",
     lambda h, who, lot: office_transfers.transfers_of(h.parts, who, lot)),
    (office_transfers.hand_on_by_office, "office owner", lambda h, who, lot: (
        office_transfers.hand_on_by_office)(
        h.parts, who, lot, NextTyped("Ben", "", h.parts.today()), "Deed.", "", b"", h.key())),
    (office_transfers.agree, "office owner", lambda h, who, lot: office_transfers.agree(
        h.parts, who, lot, "x", "Deed.", "", b"")),
    (office_transfers.decline, "office owner", lambda h, who, lot: office_transfers.decline(
        h.parts, who, lot, "x", "No.")),
    (office_transfers.fee_done, "office owner",
     lambda h, who, lot: office_transfers.fee_done(h.parts, who, lot, "x", "billed")),
    (office_transfers.evidence_file, "office owner",
     lambda h, who, lot: office_transfers.evidence_file(h.parts, who, lot, "x")),
    (recalling.look, "office owner",
     lambda h, who, lot: recalling.look(h.parts, who, RecallAsked("product lot", "BL-204"))),
    (recalling.begin, "office owner", lambda h, who, lot: recalling.begin(
        h.parts, who, RecallAsked("product lot", "BL-204"), "It was old.", "We look.", "", h.key())),
    (recalling.recall, "office owner", lambda h, who, lot: recalling.recall(h.parts, who, "x")),
    (recalling.recall_letter, "office owner",
     lambda h, who, lot: recalling.recall_letter(h.parts, who, "x", "x")),
    (recalling.list_recalls, "office owner", lambda h, who, lot: recalling.list_recalls(h.parts, who)),
    (recall_letters.send_letter, "office owner",
     lambda h, who, lot: recall_letters.send_letter(h.parts, who, "x", "x")),
    (recall_letters.send_all, "office owner",
     lambda h, who, lot: recall_letters.send_all(h.parts, who, "x", 1)),
    (retreating.make_retreatment, "office owner",
     lambda h, who, lot: retreating.make_retreatment(h.parts, who, "x", h.key())),
    (retreating.agree_retreatment, "office owner",
     lambda h, who, lot: retreating.agree_retreatment(h.parts, who, "x", 1)),
    (adding.ask_of_lot, "builder office owner", lambda h, who, lot: adding.ask_of_lot(
        h.parts, who, lot, adding.AdditionTyped("A sunroom.", None, "Ada", "ada@example.org", ""), h.key())),
    (renewal_desk.listed, "office owner", lambda h, who, lot: renewal_desk.listed(h.parts, who)),
    (renewal_desk.count_open, "office owner", lambda h, who, lot: renewal_desk.count_open(h.parts, who)),
    (renewal_desk.renewal, "office owner", lambda h, who, lot: renewal_desk.renewal(h.parts, who, "x")),
    (renewal_desk.answer_for, "office owner",
     lambda h, who, lot: renewal_desk.answer_for(h.parts, who, "x", True)),
    (renewal_desk.book_look, "office owner", lambda h, who, lot: renewal_desk.book_look(
        h.parts, who, "x", renewal_desk.LookedTyped(h.parts.today(), "Noor"))),
    (renewal_desk.looked_at, "office owner", lambda h, who, lot: renewal_desk.looked_at(
        h.parts, who, "x", renewal_desk.LookedTyped(h.parts.today(), "Noor", "Dry.", "yes"))),
    (packet.packet_of_lot, "builder office owner",
     lambda h, who, lot: packet.packet_of_lot(h.parts, who, lot)),
    (packet.send_packet, "builder office owner",
     lambda h, who, lot: packet.send_packet(h.parts, who, lot, h.key())),
    (removing.remove_holder, "office owner",
     lambda h, who, lot: removing.remove_holder(h.parts, who, lot, "x")),
    (own_data.data_of_person, "builder office owner technician",
     lambda h, who, lot: own_data.data_of_person(h.parts, who)),
    (data_asked.data_of_address, "office owner",
     lambda h, who, lot: data_asked.data_of_address(h.parts, who, h.builder.email)),
    (adding.listed, "office owner", lambda h, who, lot: adding.listed(h.parts, who)),
    (adding.count_asked, "office owner", lambda h, who, lot: adding.count_asked(h.parts, who)),
    (adding.addition, "office owner", lambda h, who, lot: adding.addition(h.parts, who, "x")),
    (adding.take_on, "office owner", lambda h, who, lot: adding.take_on(h.parts, who, "x", h.key())),
    (adding.decline, "office owner", lambda h, who, lot: adding.decline(h.parts, who, "x", "No.", h.key())),
    (troubles.list_troubles, "office owner", lambda h, who, lot: troubles.list_troubles(h.parts, who)),
    (troubles.count_open, "office owner", lambda h, who, lot: troubles.count_open(h.parts, who)),
    (troubles.reported_at, "office owner", lambda h, who, lot: troubles.reported_at(h.parts, who, lot)),
    (troubles.trouble, "office owner", lambda h, who, lot: troubles.trouble(h.parts, who, "x")),
    (troubles.trouble_photo, "office owner",
     lambda h, who, lot: troubles.trouble_photo(h.parts, who, "x", "x", True)),
    (troubles.take_step, "office owner", lambda h, who, lot: troubles.take_step(
        h.parts, who, "x", "answered", troubles.StepTyped("We come."), (), h.key())),
    (recall_letters.leave_out, "office owner",
     lambda h, who, lot: recall_letters.leave_out(h.parts, who, "x", "x")),
    (registering.register, "office owner",
     lambda h, who, lot: registering.register(h.parts, who, RegisterFilter())),
    (registering.register_rows, "office owner",
     lambda h, who, lot: registering.register_rows(h.parts, who, RegisterFilter())),
    (foreseeing.foresee, "owner", lambda h, who, lot: foreseeing.foresee(h.parts, who, {})),
    (agreeing.agree, "owner", lambda h, who, lot: agreeing.agree(
        h.parts, who, agreeing.AgreementAsked(h.builder.company_id or "", "", None, None, {}), h.key())),
    (agreeing.end, "owner",
     lambda h, who, lot: agreeing.end(h.parts, who, "none", None, "It is over.")),
    (agreeing.list_agreements, "office owner", lambda h, who, lot: agreeing.list_agreements(h.parts, who)),
    (agreeing.one_agreement, "office owner",
     lambda h, who, lot: agreeing.one_agreement(h.parts, who, agreed(h))),
    (lot_terms.listed_extras, "office owner", lambda h, who, lot: lot_terms.listed_extras(h.parts, who)),
    (lot_terms.set_miles, "office owner", lambda h, who, lot: lot_terms.set_miles(h.parts, who, lot, 0, "3")),
    (lot_terms.add_listed, "office owner",
     lambda h, who, lot: lot_terms.add_listed(h.parts, who, lot, 0, "Porch posts", "1")),
    (editions.rate_book, "office owner", lambda h, who, lot: editions.rate_book(h.parts, who)),
    (editions.enter, "owner", lambda h, who, lot: editions.enter(h.parts, who, "crew", h.parts.today(), {})),
    (desk.list_lots, "builder office owner", lambda h, who, lot: desk.list_lots(h.parts, who, LotFilter())),
    (packing.put_together, "builder",
     lambda h, who, lot: packing.put_together(h.parts, who, "Lane", (lot,), h.key())),
    (packing.put_in, "builder", lambda h, who, lot: packing.put_in(h.parts, who, "x", (lot,), h.key())),
    (packing.take_out, "builder office owner", lambda h, who, lot: packing.take_out(h.parts, who, "x", lot,
    0)),
    (package_office.press, "office owner",
     lambda h, who, lot: package_office.press(h.parts, who, "x", "send", "", h.key())),
    (package_answer.accept_lots, "builder",
     lambda h, who, lot: package_answer.accept_lots(h.parts, who, "x", (), "Name", "", h.key())),
    (package_answer.decline_lots, "builder",
     lambda h, who, lot: package_answer.decline_lots(h.parts, who, "x", (), "No.", h.key())),
    (package_lists.list_packages, "builder office owner",
     lambda h, who, lot: package_lists.list_packages(h.parts, who)),
    (package_lists.unpacked, "builder", lambda h, who, lot: package_lists.unpacked(h.parts, who)),
    (package_sheet, "builder office owner", lambda h, who, lot: package_sheet(h.parts, who, "x")),
    (papers.cover, "builder office owner", lambda h, who, lot: papers.cover(h.parts, who, "x", 1)),
    (desk.today, "office owner", lambda h, who, lot: desk.today(h.parts, who)),
    (desk.money, "office owner", lambda h, who, lot: desk.money(h.parts, who, open_only=False)),
    (money_in.look, "office owner", lambda h, who, lot: money_in.look(h.parts, who)),
    (desk.subdivisions, "builder", lambda h, who, lot: desk.subdivisions(h.parts, who)),
    (billing_terms.terms_of, "office owner",
     lambda h, who, lot: billing_terms.terms_of(h.parts, who, h.builder.company_id or "")),
    (billing_terms.enter_terms, "owner",
     lambda h, who, lot: billing_terms.enter_terms(
         h.parts, who, h.builder.company_id or "", {"net_days": "15"}, h.key())),
    (lot_money.money_of, "builder office owner",
     lambda h, who, lot: lot_money.money_of(h.parts, who, lot)),
    (papers.money_paper, "builder office owner",
     lambda h, who, lot: papers.money_paper(h.parts, who, "invoice", h.invoice(lot).id)),
    (papers.money_summary, "builder office owner",
     lambda h, who, lot: papers.money_summary(h.parts, who, "invoice", h.invoice(lot).id)),
    (releasing.held, "office owner", lambda h, who, lot: releasing.held(h.parts, who, h.invoice(lot).id)),
    (bill_page.draft_paper, "office owner", lambda h, who, lot: bill_page.draft_paper(h.parts, who, "x")),
    (bill_page.to_bill, "office owner", lambda h, who, lot: bill_page.to_bill(h.parts, who)),
    (bill_page.look_at_package, "office owner",
     lambda h, who, lot: bill_page.look_at_package(h.parts, who, "x")),
    (bill_page.look_at_lot, "office owner", lambda h, who, lot: bill_page.look_at_lot(h.parts, who, lot)),
    (bill_page.bill_package, "office owner",
     lambda h, who, lot: bill_page.bill_package(h.parts, who, "x", "", h.key())),
    (crediting.creditable, "office owner",
     lambda h, who, lot: crediting.creditable(h.parts, who, h.invoice(lot).id)),
    (crediting.credit, "office owner",
     lambda h, who, lot: crediting.credit(h.parts, who, h.invoice(lot).id, {}, True, "Wrong.", h.key())),
    (rebilling.look, "office owner",
     lambda h, who, lot: rebilling.look(h.parts, who, h.invoice(lot).id, "", ())),
    (rebilling.rebill, "office owner",
     lambda h, who, lot: rebilling.rebill(h.parts, who, h.invoice(lot).id, "", (), "", h.key())),
    (releasing.release_retainage, "office owner",
     lambda h, who, lot: releasing.release_retainage(h.parts, who, h.invoice(lot).id, "1", h.key())),
    (people.add_company, "office owner",
     lambda h, who, lot: people.add_company(h.parts, who, "Alder Homes", "", "", "")),
    (people.invite, "office owner system",
     lambda h, who, lot: people.invite(h.parts, who, "technician", "Ivo Lath", "ivo@example.com")),
    (people.invite_again, "builder office owner", lambda h, who, lot: people.invite_again(h.parts, who, "x")),
    (people.invite_colleague, "builder",
     lambda h, who, lot: people.invite_colleague(h.parts, who, "Una Cray", "una@example.com", ())),
    (colleagues.our_company, "builder", lambda h, who, lot: colleagues.our_company(h.parts, who)),
    (colleagues.who_may, "builder", lambda h, who, lot: colleagues.who_may(h.parts, who, "accept")),
    (colleagues.person_to_change, "builder office owner",
     lambda h, who, lot: colleagues.person_to_change(h.parts, who, "x")),
    (colleagues.change_rights, "builder office owner",
     lambda h, who, lot: colleagues.change_rights(h.parts, who, "x", (), ())),
    (colleagues.remove, "builder office owner", lambda h, who, lot: colleagues.remove(h.parts, who, "x")),
    (colleagues.change_company, "builder",
     lambda h, who, lot: colleagues.change_company(h.parts, who, "4 Weir Road", "555-0120", "")),
    (colleagues.choose_letters, "builder",
     lambda h, who, lot: colleagues.choose_letters(h.parts, who, ("quotes",))),
    (people.everybody, "office owner", lambda h, who, lot: people.everybody(h.parts, who)),
    (papers.papers_of, "builder office owner system", lambda h, who, lot: papers.papers_of(h.parts, who,
    lot)),
    (papers.paper, "builder office owner system", lambda h, who, lot: papers.paper(h.parts, who, lot,
    "invoice")),
    (papers.papers_of_lots, "builder", lambda h, who, lot: papers.papers_of_lots(h.parts, who, (lot,))),
    (shelves.shelves, "builder", lambda h, who, lot: shelves.shelves(h.parts, who, LotFilter())),
    (shelves.of_one_lot, "builder", lambda h, who, lot: shelves.of_one_lot(h.parts, who, lot)),
    (shelves.zip_of, "builder", lambda h, who, lot: list(
        shelves.zip_of(h.parts, who, shelves.of_one_lot(h.parts, who, lot)))),
    (papers.stop_sheet, "technician", lambda h, who, lot: papers.stop_sheet(h.parts, who, h.job(lot))),
    (sheets.sheet, "builder office owner system", lambda h, who, lot: sheets.sheet(h.parts, who, lot)),
]  # fmt: skip

#: Acts that ask for no person: the front door, the homeowner's, the purchaser's, the worker's, the demo's.
OPEN_TO_ALL = {
    papers.owner_bill, papers.made_once, sealed.issued, transferring.let_run_out, transferring.holder_token,
    many_entered.go_on, many_entered.go_on_with_all,
    people.sign_in, people.sign_out, people.who_is, people.link_is_for, people.set_password, people.forgot,
    people.demo_people, people.demo_sign_in, people.actor_by_email, covering.find, covering.by_link,
    reporting.report, adding.ask_by_link, renewing.offer_renewals, renewing.look, renewing.answer,
    renewing.bill_by_link, packet.packet,
    own_data.data_of_holder, removing.kept, removing.remove_due, removing.leave,
    losing.ask_lost_number, losing.answer_lost_numbers,
    colleagues.letters_of_link, colleagues.turn_off,
    reminding.remind,
    covering.expire, quoting.lapse, quoting.remind, papers.certificate_by_link, sealed.certificate,
    is_it_real.check_paper, is_it_real.check_text, is_it_real.public_keys, outbox.letters, outbox.letter,
    by_link.known, by_link.open_link, by_link.paper_by_link, by_link.accept_by_link, by_link.decline_by_link,
    by_link.take_back_by_link, calendars.calendar,
}  # fmt: skip


@pytest.fixture(scope="module")
def standing(furnished: Furnished, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[House, str]]:
    """One house for the whole table, and a lot that is treated."""
    house = furnished.sqlite(tmp_path_factory.mktemp("standing") / "house.db")
    yield house, house.treated()
    house.parts.store.engine.dispose()


@pytest.mark.parametrize(("act", "may", "call"), ACTS, ids=[act.__name__ for act, _, _ in ACTS])
def test_only_those_may_whose_act_it_is(
    standing: tuple[House, str], act: object, may: str, call: Call
) -> None:
    house, lot = standing
    system = Actor(None, "Sillbook", "", "system")
    cast = {kind: getattr(house, kind, system) for kind in KINDS}

    for kind, who in cast.items():
        if kind not in may.split():
            with pytest.raises((NotAllowed, NotFound)):
                call(house, who, lot)
        else:
            _may(partial(call, house, who, lot))


def _may(call: Callable[[], Any]) -> None:
    """Whatever else the act says to a treated lot and an old version, it is not that it is not theirs."""
    try:
        call()
    except NotFound as error:
        if error.key != "x":  # an id that is made up is not found, by those who may look
            raise
    except (Refused, BadInput, Overtaken):
        pass


OF_A_LOT = [row for row in ACTS if "lot_id" in inspect.signature(row[0]).parameters and "builder" in row[1]]


@pytest.mark.parametrize(("act", "may", "call"), OF_A_LOT, ids=[act.__name__ for act, _, _ in OF_A_LOT])
def test_another_builders_lot_is_not_there_at_all(
    standing: tuple[House, str], act: object, may: str, call: Call
) -> None:
    house, lot = standing

    with pytest.raises(NotFound):
        call(house, house.rival, lot)


def test_another_technicians_stop_is_not_there_at_all(lite: House) -> None:
    lot = lite.booked()

    for act, may, call in ACTS:
        if may == "technician" and act is not treating.my_stops:
            with pytest.raises(NotFound):
                call(lite, lite.second_technician, lot)


def test_another_builders_things_are_in_no_list(lite: House) -> None:
    lite.treated()

    assert desk.list_lots(lite.parts, lite.rival, LotFilter()).rows == ()
    assert desk.list_lots(lite.parts, lite.rival, LotFilter(company_id=lite.builder.company_id)).rows == ()
    assert desk.list_lots(lite.parts, lite.rival, LotFilter()).counts == {}
    assert desk.subdivisions(lite.parts, lite.rival) == ()
    assert billing.money_in(lite.parts, lite.rival) == []


def test_a_builder_without_a_company_has_nothing(lite: House) -> None:
    lot = lite.asked()

    with pytest.raises(NotFound):
        sheets.sheet(lite.parts, replace(lite.builder, company_id=None), lot)


def test_an_office_person_is_invited_by_an_owner_only(lite: House) -> None:
    with pytest.raises(NotAllowed, match="Only an owner"):
        people.invite(lite.parts, lite.office, "office", "Ivo Lath", "ivo@example.com")


def test_every_act_is_in_the_table() -> None:
    rooms = (
        accounts,
        agreeing,
        foreseeing,
        lot_terms,
        answers,
        asking,
        bank_lines,
        banking,
        billing,
        bill_page,
        lot_money,
        billing_terms,
        crediting,
        rebilling,
        releasing,
        books,
        booking,
        bouncing,
        by_link,
        calendars,
        chase,
        chase_terms,
        closing,
        colleagues,
        covering,
        using_credit,
        crew_schedule,
        day_finding,
        desk,
        disputing,
        editions,
        entering,
        estimating,
        exempting,
        interest,
        loading,
        many,
        many_entered,
        on_site,
        outbox,
        papers,
        paying,
        people,
        photographing,
        purchasing,
        quoting,
        reminding,
        reporting,
        adding,
        renewal_desk,
        renewing,
        packet,
        data_asked,
        own_data,
        removing,
        retreating,
        troubles,
        sealed,
        is_it_real,
        shelves,
        second_person,
        statements,
        tax_tables,
        technician_days,
        treating,
    )
    tried = {act for act, _, _ in ACTS} | OPEN_TO_ALL
    # What takes an open transaction or a stored row is a part of an act, not one.
    acts = {
        found
        for room in (*rooms, sheets)
        for name, found in inspect.getmembers(room, inspect.isfunction)
        if not name.startswith("_") and next(iter(inspect.signature(found).parameters), "") == "parts"
        and "work" not in inspect.signature(found).parameters and found.__module__.startswith("portal.acts")
        and found.__module__ not in ("portal.acts.trail", "portal.acts.parts")
    }  # fmt: skip

    assert acts <= tried, {act.__name__ for act in acts - tried}
