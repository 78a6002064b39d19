"""A builder's addresses, in the order people meet them."""

from __future__ import annotations

from flask import Blueprint

from portal.web.builder import (
    account,
    answering,
    asking,
    holders,
    lists,
    looking,
    many,
    packages,
    payments,
    people,
    plan_acts,
    plan_entry,
    plans,
    purchasers,
    shelving,
)
from portal.web.security import only
from portal.web.shared import asking_addition, packets

builder = Blueprint("builder", __name__)
builder.before_request(only("builder"))

builder.get("/lots")(lists.lots)
builder.route("/lots/calendar", methods=["GET", "POST"])(lists.calendar)
builder.route("/ask", methods=["GET", "POST"])(asking.ask)
builder.post("/ask/redraw")(asking.redraw)

MANY = "/many/<list_id>"
builder.route("/many", methods=["GET", "POST"], endpoint="many")(many.begin)
builder.get("/many/columns", endpoint="many_columns")(many.columns)
builder.get("/many/lots.csv", endpoint="many_template")(many.template)
builder.route(f"{MANY}/columns", methods=["GET", "POST"], endpoint="many_names")(many.names)
builder.post(f"{MANY}/check", endpoint="many_check")(many.check)
builder.post(f"{MANY}/enter", endpoint="many_enter")(many.enter)
builder.get(MANY, endpoint="many_look")(many.look)
builder.get(f"{MANY}/rows-to-mend.csv", endpoint="many_to_mend")(many.to_mend)

PLAN = "/plans/<plan_id>"
builder.get("/plans")(plans.plans)
builder.route("/plans/new", methods=["GET", "POST"])(plan_entry.new_plan)
builder.get(PLAN)(plans.plan)
builder.route(f"{PLAN}/edition", methods=["GET", "POST"])(plan_entry.new_edition)
builder.post(f"{PLAN}/copy")(plan_acts.copy_plan)
builder.post(f"{PLAN}/rename")(plan_acts.rename_plan)
builder.post(f"{PLAN}/retire")(plan_acts.retire_plan)
builder.post(f"{PLAN}/bring-back")(plan_acts.bring_back_plan)

LOT = "/lots/<lot_id>"
builder.get("/money-papers/<kind>/<paper_id>", endpoint="money_paper")(looking.money_paper)
builder.get("/money-papers/<kind>/<paper_id>/summary", endpoint="money_summary")(looking.money_summary)
builder.get(LOT)(looking.lot)
builder.get(f"{LOT}/<any(takeoff, quote, treatment, invoice, warranty):sheet>", endpoint="lot")(looking.lot)
builder.route(f"{LOT}/change", methods=["GET", "POST"])(asking.change)
builder.route(f"{LOT}/ask-again", methods=["GET", "POST"])(asking.ask_again)
builder.post(f"{LOT}/keep-plan")(plan_acts.keep_plan)
builder.route(f"{LOT}/frame-days", methods=["GET", "POST"])(looking.frame_days)
builder.post(f"{LOT}/siding-day")(answering.siding_day)
builder.post(f"{LOT}/quote/accept")(answering.accept)
builder.post(f"{LOT}/quote/decline")(answering.decline)
builder.post(f"{LOT}/quote/take-back")(purchasers.take_back)
builder.post(f"{LOT}/quote/links")(purchasers.mail_link)
builder.post(f"{LOT}/quote/links/<link_id>/withdraw")(purchasers.withdraw_link)
builder.get(f"{LOT}/closing-packet.pdf")(packets.closing_packet)
builder.post(f"{LOT}/closing-packet")(packets.send_packet)
builder.route(f"{LOT}/addition", methods=["GET", "POST"])(asking_addition.ask_addition)
builder.post(f"{LOT}/warranty/owner")(holders.name_owner)

PACKAGE = "/packages/<package_id>"
builder.get("/packages")(packages.packages)
builder.route("/packages/new", methods=["GET", "POST"])(packages.put_together)
builder.get(PACKAGE)(packages.package)
builder.post(f"{PACKAGE}/put-in", endpoint="package_put_in")(packages.put_in)
builder.post(f"{PACKAGE}/take-out", endpoint="package_take_out")(packages.take_out)
builder.post(f"{PACKAGE}/accept", endpoint="package_accept")(packages.accept)
builder.post(f"{PACKAGE}/decline", endpoint="package_decline")(packages.decline)
builder.get(f"{PACKAGE}/paper/<int:issue>", endpoint="package_paper")(packages.paper)

builder.get(f"{LOT}/papers/<kind>")(looking.paper)
builder.get(f"{LOT}/papers/<kind>/<int:revision>", endpoint="paper")(looking.paper)
builder.get(f"{LOT}/photos/<photo_id>/<any(small, whole):size>", endpoint="lot_photo")(looking.show_photo)
builder.get(f"{LOT}/papers.zip")(shelving.lot_zip)
builder.get("/papers/payments")(payments.payments)
builder.get("/papers")(shelving.papers)
builder.get("/papers.zip")(shelving.papers_zip)

builder.route("/account", methods=["GET", "POST"], endpoint="account")(account.account)
builder.get("/account/statements/<statement_id>.pdf", endpoint="statement")(account.statement)
builder.route("/invoices/<invoice_id>/dispute", methods=["GET", "POST"], endpoint="dispute")(account.dispute)

builder.get("/people")(people.people)
builder.post("/people/invite")(people.invite)
builder.post("/people/letters")(people.letters)
builder.post("/people/company")(people.company)
builder.route("/people/<person_id>", methods=["GET", "POST"])(people.person)
builder.post("/people/<person_id>/invite-again")(people.invite_again)
builder.route("/people/<person_id>/remove", methods=["GET", "POST"])(people.remove_person)
builder.route("/people/second-yes", methods=["GET", "POST"])(purchasers.second)
