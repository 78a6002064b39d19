"""A lot's sheet in the office: the five sheets, each with the acts that are the office's there."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from flask import Response, flash, redirect, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from portal.acts import booking, keeping, papers
from portal.acts import sheet as sheets
from portal.acts.sheet import LotSheet
from portal.core.errors import BadInput, Overtaken
from portal.web.office import forms, margin
from portal.web.office.lot_terms_forms import lot_terms_forms
from portal.web.office.missing import Missing, missing
from portal.web.office.past import past
from portal.web.security import parts, who
from portal.web.shared import lot_pages
from portal.web.shared.holders import OwnerForm, beside_the_promise
from portal.web.shared.pages import fresh_once_key
from portal.web.shared.paper_answers import pdf
from portal.web.shared.purchasers import LinkForm, beside_the_answer
from portal.web.shared.sheet_form import SIDING_DAY_ON, SheetForm, SidingDayForm

Answer = AnyResponse | str | tuple[str, int]
Form = TypeVar("Form", bound=SheetForm)


def lot(lot_id: str, sheet: str = "") -> str:
    """A lot, on the sheet asked for or the one it has come to."""
    return show(lot_id, sheet)


def paper(lot_id: str, kind: str, revision: int | None = None) -> Response:
    """A paper of the lot."""
    return pdf(papers.paper(parts(), who(), lot_id, kind, revision))


def show(
    lot_id: str, sheet: str = "", typed: SheetForm | None = None, overtaken: Overtaken | None = None
) -> str:
    """The sheet. `typed` is a form that could not be done: it is shown as it was sent, and why."""
    found = sheets.sheet(parts(), who(), lot_id)
    name = sheet or lot_pages.sheet_reached(found)
    shown = {form.name: form for form in forms_for(found, name)}
    for form in shown.values():
        form.version.data = str(found.version)
    if typed is not None:
        typed.offered = typed.name in shown
        # Until a person was told that somebody else was first, a form keeps the version it was filled in at.
        if overtaken is not None:
            typed.version.data = str(found.version)
        shown |= {typed.name: typed} if typed.offered else {}
    revision = request.values.get("revision", type=int)
    day, link = shown.pop("siding-day", None), shown.pop("link", None)
    owner = shown.pop("owner", None)
    quote = lot_pages.revision_shown(found, revision)
    left = margin.of_lot(found, name, quote)
    beside = beside_the_answer(found, name, quote, "office", link or LinkForm.blank())
    beside |= beside_the_promise(found, name, "office", owner)
    return lot_pages.lot_page(
        "office/lot.html", found, name, "office", _address, _paper_address, revision, forms=shown,
        typed=typed, overtaken=overtaken, past=past(found.history), siding_day=day,
        siding_day_url=url_for("office.siding_day", lot_id=lot_id),
        once_key=(once := request.form.get("once_key") or fresh_once_key()), once=once,
        lacks=lacks_shown(found, name), may_write_off=who().owner, left=left,
        **beside,
    )  # fmt: skip


def lacks_shown(lot: LotSheet, sheet: str) -> list[Missing]:
    """What the record of a lot would lack, on the sheet where its treatment is booked, until it is made."""
    if sheet != "treatment" or lot.job is None or lot.record or lot.record_gone:
        return []
    return missing(keeping.lacking(parts(), who(), lot.id))


def _address(lot_id: str, sheet: str) -> str:
    return url_for("office.lot", lot_id=lot_id, sheet=sheet)


def _paper_address(lot_id: str, kind: str, revision: int | None) -> str:
    return url_for("office.paper", lot_id=lot_id, kind=kind, revision=revision)


def forms_for(lot: LotSheet, sheet: str) -> list[SheetForm]:
    """The forms of the acts that can be done on a sheet as the lot stands."""
    found = {"takeoff": _of_takeoff, "quote": _of_quote, "treatment": _of_treatment, "invoice": _of_invoice,
             "warranty": _of_warranty}[sheet](lot)  # fmt: skip
    if sheet == "quote" and any(one.state == "sent" for one in lot.revisions):
        found.append(LinkForm.blank())
    days = sheet in SIDING_DAY_ON and lot.may_give_siding_day
    return [*found, SidingDayForm.of(lot)] if days else found


def _of_takeoff(lot: LotSheet) -> list[SheetForm]:
    return [] if lot.revision else [forms.StartForm.blank()]


def _of_quote(lot: LotSheet) -> list[SheetForm]:
    if lot.revision is None:
        return [forms.StartForm.blank()]
    state = lot.revision.state
    if state in ("to check", "approved"):
        offered: list[SheetForm] = [forms.ExtraForm.blank(), forms.DropForm.blank()]
        offered += lot_terms_forms(lot)
        offered.append(forms.ApproveForm.blank(remarks=lot.revision.remarks))
        return [*offered, forms.SendForm.blank()] if state == "approved" else offered
    return [forms.ReviseForm.blank()] if state in ("sent", "lapsed", "declined") else []


def _of_treatment(lot: LotSheet) -> list[SheetForm]:
    job = lot.job
    if job is None or (job.state in ("treated", "signed off") and lot.record is None):
        return []
    if job.state == "signed off":
        return [forms.AmendForm.blank(), *_over(lot)]
    if job.state == "treated":
        offered: list[SheetForm] = [forms.SignOffForm.blank(), forms.SendBackForm.blank()]
        return [*([] if lot.sent_back else offered), *_over(lot)]
    booked = job.state in ("booked", "on site")
    form = forms.BookForm.blank(technician=job.technician_id or "", day=job.day, notes=job.notes)
    form.offer(booking.technicians(parts(), who()))
    return [form, forms.CallOffForm.blank()] if booked else [form]


def _over(lot: LotSheet) -> list[SheetForm]:
    """What an owner may do once a record has been kept as long as it has to be."""
    over = lot.kept_until is not None and parts().today() > lot.kept_until
    return [forms.ForgetForm.blank()] if over and who().owner else []


def _of_invoice(lot: LotSheet) -> list[SheetForm]:
    if lot.invoice is None or not lot.invoice.due:
        return []
    return [forms.PayForm.blank(amount=str(lot.invoice.due), received_on=parts().today())]


def _of_warranty(lot: LotSheet) -> list[SheetForm]:
    state = lot.warranty.state if lot.warranty else ""
    offered: list[SheetForm] = []
    if state == "held":
        offered += [forms.ReleaseForm.blank(), forms.KeepHeldForm.blank()]
    if lot.warranty:
        offered.append(forms.ReplaceLinkForm.blank())
    if state in ("held", "in force") and who().owner:
        offered.append(forms.VoidForm.blank())
    return [*offered, OwnerForm.blank()] if lot.warranty else offered


def do(lot_id: str, sheet: str, form: Form, act: Callable[[Form], Any], said: str) -> Answer:
    """Do what a form on a sheet asks for; where it cannot be done, the sheet again with what was typed."""
    if not form.validate():
        return show(lot_id, sheet, form), 422
    try:
        act(form)
    except BadInput as bad:
        form.take(bad)
        return show(lot_id, sheet, form), 422
    except Overtaken as overtaken:
        return show(lot_id, sheet, form, overtaken), 409
    flash(said)
    return redirect(url_for("office.lot", lot_id=lot_id, sheet=sheet), 303)
