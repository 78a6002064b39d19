"""A homeowner's addresses, in the order people meet them. Nobody signs in, and nothing is to be indexed."""

from __future__ import annotations

from flask import Blueprint, Response, redirect, request, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response as AnyResponse

from portal.acts import covering, losing, papers
from portal.core.errors import BadInput, NotFound, TooManyTries
from portal.web.homeowner import addition, checking, holding, renewing, trouble
from portal.web.homeowner.forms import FindForm, LostForm
from portal.web.homeowner.links_over import nowhere
from portal.web.homeowner.past import as_found, how_long, timeline
from portal.web.security import address, parts
from portal.web.shared import rows
from portal.web.shared.pages import page
from portal.web.shared.paper_answers import pdf

homeowner = Blueprint("homeowner", __name__)

Answer = AnyResponse | str | tuple[str, int] | tuple[str, int, dict[str, str]]


@homeowner.after_request
def unindexed(response: Response) -> Response:
    """No search engine keeps a house's record."""
    response.headers["X-Robots-Tag"] = "noindex, nofollow"
    if request.path.startswith(("/warranty/mine", "/warranty/handed", "/warranty/renew", "/warranty/bill")):
        response.headers["Cache-Control"] = "no-store"  # it is one person's, and the browser may be another's
    return response


@homeowner.route("/warranty", methods=["GET", "POST"])
def find() -> Answer:
    """Find a warranty by its number and the house number; every failure is answered alike."""
    form = FindForm()
    if request.method != "POST":
        return page("homeowner/find.html", form=form)
    try:
        found = covering.find(parts(), form.number.data or "", form.house_number.data or "", address())
    except NotFound:
        sentence = _("No such pair is known. Check the warranty number and the house number, and try again.")
        return page("homeowner/find.html", form=form, sentence=sentence), 404
    except TooManyTries as error:
        sentence = _("Too many tries. Wait %(seconds)s seconds, then try again.", seconds=error.wait_seconds)
        again = {"Retry-After": str(error.wait_seconds)}
        return page("homeowner/find.html", form=form, sentence=sentence), 429, again
    return redirect(url_for("homeowner.record", token=found.token))


homeowner.route("/warranty/is-it-real", methods=["GET", "POST"])(checking.is_it_real)
homeowner.get("/warranty/keys.pem")(checking.public_keys)


@homeowner.route("/warranty/lost", methods=["GET", "POST"])
def lost() -> Answer:
    """A lost number, asked for by address and month of closing."""
    form = LostForm()
    if request.method != "POST":
        return page("homeowner/lost.html", form=form)
    try:
        form.validate()
        losing.ask_lost_number(parts(), form.asked(), address())
    except BadInput as bad:
        form.take(bad)
        return page("homeowner/lost.html", form=form), 422
    except TooManyTries as error:
        sentence = _("Asked too often. Wait %(minutes)s minutes, then ask again.",
                     minutes=-(-error.wait_seconds // 60))  # fmt: skip
        again = {"Retry-After": str(error.wait_seconds)}
        return page("homeowner/lost.html", form=form, sentence=sentence), 429, again
    return redirect(url_for("homeowner.lost_asked"), 303)


@homeowner.get("/warranty/lost/asked")
def lost_asked() -> str:
    """The one answer to everybody who asked for a lost number."""
    return page("homeowner/lost_asked.html")


MINE = "/warranty/mine/<token>"
homeowner.route("/warranty/mine", methods=["GET", "POST"])(holding.ask_link)
homeowner.get("/warranty/mine/asked")(holding.link_asked)
homeowner.get(MINE)(holding.mine)
homeowner.post(f"{MINE}/contact")(holding.contact)
homeowner.post(f"{MINE}/hand-on")(holding.ask_transfer)
homeowner.post(f"{MINE}/withdraw")(holding.withdraw)
homeowner.get(f"{MINE}/certificate.pdf", endpoint="own_certificate")(holding.certificate)
homeowner.get(f"{MINE}/data.json", endpoint="own_data")(holding.own_data_file)
homeowner.post(f"{MINE}/leave")(holding.leave)
homeowner.get(f"{MINE}/closing-packet.pdf", endpoint="own_packet")(holding.closing_packet)
homeowner.route("/warranty/handed/<token>", methods=["GET", "POST"])(holding.handed)
homeowner.post("/warranty/handed/<token>/decline")(holding.decline)


homeowner.get("/warranty/renew/<token>")(renewing.renew)
homeowner.post("/warranty/renew/<token>")(renewing.answer_renewal)
homeowner.get("/warranty/bill/<token>.pdf")(renewing.bill)


@homeowner.get("/warranty/<token>")
def record(token: str) -> Answer:
    """What was treated, and what is promised."""
    try:
        found = covering.by_link(parts(), token)
    except NotFound:
        return nowhere()
    return page("homeowner/record.html", warranty=found, token=token, rows=rows, drawings=as_found(found),
                timeline=timeline(found), long=how_long(found))  # fmt: skip


@homeowner.get("/warranty/<token>/certificate.pdf")
def certificate(token: str) -> Response:
    """The certificate, once the warranty has begun."""
    return pdf(papers.certificate_by_link(parts(), token))


homeowner.route("/warranty/<token>/addition", endpoint="addition", methods=["GET", "POST"])(addition.ask)
homeowner.route("/warranty/<token>/trouble", endpoint="trouble", methods=["GET", "POST"])(trouble.report)
