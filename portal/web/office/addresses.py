"""Addresses, in the order people meet them."""

from __future__ import annotations

from flask import Blueprint

from portal.web.office import (
    additions,
    agreements,
    bank,
    bill,
    billing_terms,
    book_files,
    books,
    certificates,
    chase,
    chase_terms,
    crediting,
    crew_days,
    data_asked,
    desk,
    editions,
    exemptions,
    finding,
    handing,
    lessons,
    loading,
    lot,
    lot_links,
    lot_money,
    lot_quote,
    lot_site,
    lot_terms,
    margin,
    money_in,
    packages,
    payments,
    people,
    recalls,
    register,
    renewals,
    tax,
    technicians,
    trouble,
)
from portal.web.security import only
from portal.web.shared import asking_addition, packets

office = Blueprint("office", __name__, url_prefix="/office")
office.before_request(only("office"))

office.get("/today")(desk.today)
office.get("/lots")(desk.lots)

LOT = "/lots/<lot_id>"
office.get(LOT)(lot.lot)
office.get(f"{LOT}/<any(takeoff, quote, treatment, invoice, warranty):sheet>", endpoint="lot")(lot.lot)
office.get(f"{LOT}/papers/<kind>")(lot.paper)
office.get(f"{LOT}/papers/<kind>/<int:revision>", endpoint="paper")(lot.paper)

office.route(f"{LOT}/frame-days", methods=["GET", "POST"])(lot_site.frame_days)
office.post(f"{LOT}/siding-day")(lot_site.siding_day)
office.post(f"{LOT}/start")(lot_quote.start)
office.route(f"{LOT}/correct", methods=["GET", "POST"])(lot_quote.correct)
office.post("/redraw")(lot_quote.redraw)
office.post(f"{LOT}/extra")(lot_quote.extra)
office.post(f"{LOT}/extra/<extra_id>/drop")(lot_quote.drop_extra)
office.post(f"{LOT}/miles")(lot_terms.miles)
office.post(f"{LOT}/listed")(lot_terms.listed)
office.post(f"{LOT}/approve")(lot_quote.approve)
office.post(f"{LOT}/send")(lot_quote.send)
office.post(f"{LOT}/revise")(lot_quote.revise)
office.post(f"{LOT}/links")(lot_links.mail_link)
office.post(f"{LOT}/links/<link_id>/withdraw")(lot_links.withdraw_link)

office.post(f"{LOT}/book")(lot_site.book)
office.post(f"{LOT}/call-off")(lot_site.call_off)
PHOTO = f"{LOT}/photos/<photo_id>/<any(small, whole):size>"
office.get(PHOTO, endpoint="lot_photo")(lot_site.show_photo)
office.post(f"{LOT}/pick")(lot_site.pick)
office.post(f"{LOT}/sign-off")(lot_site.sign_off)
office.post(f"{LOT}/send-back")(lot_site.send_back)
office.post(f"{LOT}/forget")(lot_site.forget)
office.post(f"{LOT}/amend")(lot_site.amend)

office.post(f"{LOT}/pay")(lot_money.pay)
office.post(f"{LOT}/release")(lot_money.release)
office.post(f"{LOT}/keep-held")(lot_money.keep_held)
office.post(f"{LOT}/void")(lot_money.void)
office.post(f"{LOT}/replace-link")(lot_money.replace_link)
office.post(f"{LOT}/owner")(lot_links.name_owner)
office.route(f"{LOT}/handed-on", methods=["GET", "POST"])(handing.handed_on)
office.post(f"{LOT}/handed-on/holders/<holder_id>/remove")(handing.remove_holder)
office.post(f"{LOT}/handed-on/<transfer_id>/agree")(handing.agree)
office.post(f"{LOT}/handed-on/<transfer_id>/decline")(handing.decline)
office.post(f"{LOT}/handed-on/<transfer_id>/fee")(handing.fee)
office.get(f"{LOT}/handed-on/<transfer_id>/evidence")(handing.evidence)

PACKAGE = "/packages/<package_id>"
office.get("/packages")(packages.packages)
office.get(PACKAGE)(packages.package)
office.post(f"{PACKAGE}/<any(start, approve, send):what>", endpoint="package_press")(packages.press)
office.post(f"{PACKAGE}/take-out", endpoint="package_take_out")(packages.take_out)
office.get(f"{PACKAGE}/paper/<int:issue>", endpoint="package_paper")(packages.paper)

office.get("/crew-days")(crew_days.crew_days)
office.post("/crew-days/book", endpoint="crew_book")(crew_days.book)
office.get("/crew-days/find")(finding.find_day)
office.post("/crew-days/find", endpoint="find_book")(finding.book)
LOAD = "/crew-days/load/<technician_id>/<day>"
office.get(LOAD)(loading.load)
office.get(f"{LOAD}/load.pdf")(loading.load_paper)
TECHNICIAN = "/technicians/<technician_id>"
office.get(TECHNICIAN, endpoint="technician")(technicians.technician)
office.post(f"{TECHNICIAN}/week", endpoint="technician_week")(technicians.week)
office.post(f"{TECHNICIAN}/off", endpoint="technician_off")(technicians.off)
office.post(f"{TECHNICIAN}/off/<day>/drop", endpoint="technician_back")(technicians.back)
office.get("/bill")(bill.bill)
office.get(f"/bill{LOT}", endpoint="bill_lot")(bill.bill_lot)
office.route(f"/bill{PACKAGE}", methods=["GET", "POST"], endpoint="bill_package")(bill.bill_package)
office.get(f"/bill{PACKAGE}/draft.pdf", endpoint="bill_draft")(bill.bill_draft)
INVOICE = "/invoices/<invoice_id>"
office.route(f"{INVOICE}/credit", methods=["GET", "POST"])(crediting.credit)
office.route(f"{INVOICE}/rebill", methods=["GET", "POST"])(crediting.rebill)
office.route(f"{INVOICE}/release", methods=["GET", "POST"], endpoint="release_retainage")(crediting.release)
office.get("/money-papers/<kind>/<paper_id>", endpoint="money_paper")(bill.money_paper)
office.get("/money-papers/<kind>/<paper_id>/summary", endpoint="money_summary")(bill.money_summary)
office.get("/money")(money_in.money_in)
office.get("/payments")(payments.payments)
ACCOUNT = "/payments/builders/<company_id>"
office.get(ACCOUNT)(payments.account)
office.route(f"{ACCOUNT}/new", methods=["GET", "POST"])(payments.receive)
office.post(f"{ACCOUNT}/use")(payments.use_credit)
office.post(f"{ACCOUNT}/refund")(payments.refund)
office.get("/payments/<payment_id>")(payments.payment)
office.route("/payments/<payment_id>/bounced", methods=["GET", "POST"])(payments.bounced)
office.route("/invoices/<invoice_id>/write-off", methods=["GET", "POST"])(payments.write_off)
office.route("/bank", methods=["GET", "POST"], endpoint="bank")(bank.lists)
office.route("/bank/<bank_list_id>/columns", methods=["GET", "POST"], endpoint="bank_columns")(bank.columns)
office.post("/bank/<bank_list_id>/drop", endpoint="bank_drop")(bank.drop)
office.get("/bank/<bank_list_id>", endpoint="bank_list")(bank.look)
LINE = "/bank/lines/<line_id>"
office.route(LINE, methods=["GET", "POST"], endpoint="bank_line")(bank.line)
office.post(f"{LINE}/known", endpoint="bank_known")(bank.known)
office.post(f"{LINE}/aside", endpoint="bank_aside")(bank.aside)
office.post(f"{LINE}/back", endpoint="bank_back")(bank.back)
office.get("/books")(books.books)
office.get("/books/account", endpoint="book_account")(books.account)
office.get("/books/entry/<int:seq>", endpoint="book_entry")(books.entry)
office.get("/books/tax-owed")(books.tax_owed)
office.get("/books/month")(books.month)
office.post("/books/month", endpoint="close_month")(books.close_month)
office.get("/books/entries.csv")(book_files.entries_csv)
office.get("/books/trial-balance.csv")(book_files.balance_csv)
office.get("/books/tax-owed.csv")(book_files.tax_csv)
office.get("/books/books.txt")(book_files.plain_file)
office.get("/chase", endpoint="chase")(chase.chase)
office.get("/chase/builders/<company_id>", endpoint="chase_builder")(chase.builder)
office.post("/chase/builders/<company_id>/statement", endpoint="make_statement")(chase.make_statement)
STATEMENT = "/chase/builders/<company_id>/statements/<statement_id>/send"
office.post(STATEMENT, endpoint="send_statement")(chase.send_statement)
office.get("/chase/statements/<statement_id>.pdf", endpoint="statement")(chase.statement)
CHASED = "/chase/<invoice_id>"
office.get(CHASED, endpoint="chase_invoice")(chase.invoice)
office.post(f"{CHASED}/dispute", endpoint="chase_dispute")(chase.dispute)
office.post(f"{CHASED}/settle", endpoint="chase_settle")(chase.settle)
office.post(f"{CHASED}/promise", endpoint="chase_promise")(chase.promise)
office.post(f"{CHASED}/interest", endpoint="chase_interest")(chase.interest)
office.get("/warranties")(register.register)
office.get("/warranties.csv")(register.register_csv)
office.get("/additions")(additions.additions)
office.get("/additions/<addition_id>")(additions.addition)
office.post("/additions/<addition_id>/take-on")(additions.take_on)
office.post("/additions/<addition_id>/decline")(additions.decline_addition)
office.get(f"{LOT}/closing-packet.pdf")(packets.closing_packet)
office.post(f"{LOT}/closing-packet")(packets.send_packet)
office.route(f"{LOT}/addition", methods=["GET", "POST"])(asking_addition.ask_addition)

RENEWAL = "/renewals/<renewal_id>"
office.get("/renewals")(renewals.renewals)
office.get(RENEWAL)(renewals.renewal)
office.post(f"{RENEWAL}/answer")(renewals.answer_renewal)
office.post(f"{RENEWAL}/book")(renewals.book_look)
office.post(f"{RENEWAL}/looked")(renewals.looked_at)

TROUBLE = "/trouble/<trouble_id>"
office.get("/trouble")(trouble.troubles)
office.get(TROUBLE)(trouble.trouble)
office.post(f"{TROUBLE}/<any(answered, booked, found, decided, done, closed):step>")(trouble.trouble_step)
office.post(f"{TROUBLE}/retreatment")(trouble.make_retreatment)
office.post(f"{TROUBLE}/retreatment/agree")(trouble.agree_retreatment)
office.get(f"{TROUBLE}/photos/<trouble_photo_id>/<any(small, whole):size>")(trouble.trouble_photo)
RECALL = "/recalls/<recall_id>"
office.get("/recalls")(recalls.recalls)
office.route("/recalls/new", methods=["GET", "POST"])(recalls.new_recall)
office.get(RECALL)(recalls.recall)
office.post(f"{RECALL}/send")(recalls.send_all)
office.get(f"{RECALL}/letters/<recall_letter_id>")(recalls.recall_letter)
office.post(f"{RECALL}/letters/<recall_letter_id>/<any(send, leave):what>", endpoint="recall_press")(
    recalls.press
)

office.get("/rates")(editions.rate_book)
KIND = "<any(rates, product, crew, terms, firm):kind>"
office.route(f"/rates/{KIND}", methods=["GET", "POST"])(editions.edition)

office.route("/rates/chasing", methods=["GET", "POST"], endpoint="chasing")(chase_terms.chasing)
office.get("/tax", endpoint="tax")(tax.tables)
office.route("/tax/table", methods=["GET", "POST"], endpoint="tax_table")(tax.table)
office.post("/tax/places", endpoint="tax_place")(tax.set_place)
office.post("/tax/places/drop", endpoint="tax_place_drop")(tax.drop_place)
EXEMPTIONS = "/builders/<company_id>/exemptions"
office.route(EXEMPTIONS, methods=["GET", "POST"])(exemptions.exemptions)
office.post(f"{EXEMPTIONS}/<exemption_id>/withdraw", endpoint="exemption_withdraw")(exemptions.withdraw)
office.route("/agreements", methods=["GET", "POST"])(agreements.agreements)
office.route("/agreements/<agreement_id>", methods=["GET", "POST"])(agreements.agreement)

office.get("/margin")(margin.margin)
office.get("/lessons")(lessons.lessons)
office.post("/lessons/<any(product, crew):kind>", endpoint="learn")(lessons.learn)

office.get("/people")(people.people)
office.post("/people/invite")(people.invite)
office.route("/people/data", methods=["GET", "POST"])(data_asked.data_asked)
office.route("/people/<person_id>", methods=["GET", "POST"])(people.person)
office.post("/people/<person_id>/invite-again")(people.invite_again)
office.route("/people/<person_id>/remove", methods=["GET", "POST"])(people.remove_person)
office.route("/people/technicians/<technician_id>", methods=["GET", "POST"])(certificates.certificate)
office.post("/people/builders")(people.add_builder)
office.route("/people/builders/<company_id>/billing", methods=["GET", "POST"])(billing_terms.billing_terms)
