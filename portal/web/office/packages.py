"""Packages in the office: all lots of one job, started, approved and sent in one press each."""

from __future__ import annotations

from typing import Any

from flask import Response, flash, redirect, request, url_for
from flask_babel import gettext as _
from flask_babel import ngettext

from portal.acts import package_lists, package_office, packing, papers
from portal.acts.package_office import Outcome
from portal.acts.package_sheet import package_sheet
from portal.core.errors import BadInput, Overtaken, Refused
from portal.web.office.lot import Answer
from portal.web.security import parts, who
from portal.web.shared.package_page import package_page
from portal.web.shared.pages import beside, fresh_once_key, page, summary, told
from portal.web.shared.paper_answers import pdf


def packages() -> str:
    """All packages."""
    return page("office/packages.html", rows=package_lists.list_packages(parts(), who()))


def package(package_id: str) -> str:
    """A package."""
    return _page(package_id)


def press(package_id: str, what: str) -> Answer:
    """Start, approve or send what can be of it; what cannot be is said by lot."""
    once, seen = request.form.get("once_key", ""), request.form.get("seen", "")
    reason = request.form.get("reason", "").strip()
    try:
        outcome = package_office.press(parts(), who(), package_id, what, seen, once, reason)
    except Overtaken:
        said = _("A lot of this package changed in the meantime, and nothing of yours was done. Look at the "
                 "prices as they are now.")  # fmt: skip
        return _page(package_id, refusal=said), 409
    if outcome.left:
        return _page(package_id, outcome=outcome, did=_did(what, outcome.done), reason=reason)
    flash(_did(what, outcome.done))
    return redirect(url_for("office.package", package_id=package_id), 303)


def _did(what: str, count: int) -> str:
    if not count:
        return str(_("Nothing was done."))
    if what == "start":
        return str(ngettext("One quote is started.", "%(num)s quotes are started.", count))
    if what == "approve":
        return str(ngettext("One quote is approved.", "%(num)s quotes are approved.", count))
    return str(ngettext("One quote is sent. The builder has a letter of it.",
                        "%(num)s quotes are sent. The builder has one letter of them.", count))  # fmt: skip


def take_out(package_id: str) -> Answer:
    """One lot out of it again."""
    lot_id, _colon, version = request.form.get("lot", "").partition(":")
    seen = int(version) if version.isdecimal() and len(version) < 10 else 0
    try:
        packing.take_out(parts(), who(), package_id, lot_id, seen)
    except BadInput as bad:
        return _page(package_id, errors=beside(bad)), 422
    except Refused as refused:
        return _page(package_id, refusal=told(refused.says)), 409
    except Overtaken:
        said = _("This changed in the meantime, and nothing of yours was done. Look at it as it is now.")
        return _page(package_id, refusal=said), 409
    flash(_("Taken out. The lot is priced by itself again."))
    return redirect(url_for("office.package", package_id=package_id), 303)


def paper(package_id: str, issue: int) -> Response:
    """A cover as a PDF."""
    return pdf(papers.cover(parts(), who(), package_id, issue))


def _page(
    package_id: str, outcome: Outcome | None = None, did: str = "", refusal: str = "",
    errors: dict[str, list[str]] | None = None, reason: str = "",
) -> str:  # fmt: skip
    found = package_sheet(parts(), who(), package_id)
    at = {stage: sum(lot.stage == stage for lot in found.lots) for stage in ("asked", "to check", "approved")}
    more: dict[str, Any] = {
        "at": at, "outcome": outcome, "did": did, "refusal": refusal, "once": fresh_once_key(),
        "errors": errors or {}, "problems": summary(errors or {}),
        "reason": reason, "owner": who().owner,
    }  # fmt: skip
    return package_page("office/package.html", found, "office", **more)
