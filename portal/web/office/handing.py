"""A warranty handed on, as the office sees to it: every transfer, evidence, fee, yes and no."""

from __future__ import annotations

from collections.abc import Callable

from flask import Response, flash, redirect, request, url_for
from flask_babel import gettext as _
from flask_babel import lazy_gettext
from flask_wtf.file import FileField
from werkzeug.wrappers import Response as AnyResponse
from wtforms import EmailField, StringField, TextAreaField

from portal.acts import holding, office_transfers, removing
from portal.acts.transferring import NextTyped
from portal.core.errors import BadInput, Refused
from portal.web.security import parts, who
from portal.web.shared.lot_form import DayField, stripped
from portal.web.shared.pages import fresh_once_key, page, told
from portal.web.shared.sheet_form import SheetForm

Answer = AnyResponse | str | tuple[str, int]


class EvidenceForm(SheetForm):
    """What was seen, in words and perhaps as a file."""

    name = "evidence"
    evidence = TextAreaField(lazy_gettext("What was seen"), filters=[stripped], description=lazy_gettext(
        "A deed, a settlement paper, and of which day."))  # fmt: skip
    file = FileField(
        lazy_gettext("File"), description=lazy_gettext("A PDF, a JPEG or a PNG of at most 1 MB.")
    )

    def sent_file(self) -> tuple[str, bytes]:
        """Its name and content; nothing where none was chosen."""
        chosen = request.files.get(self.file.name)
        if chosen is None or not chosen.filename:
            return "", b""
        with chosen.stream as stream:
            return chosen.filename, stream.read(office_transfers.LARGEST + 1)


class HandForm(EvidenceForm):
    """The next owner, and by what the office knows."""

    name, elsewhere = "hand", {"name": "person"}
    person = StringField(lazy_gettext("Name of the next owner"), filters=[stripped])
    email = EmailField(lazy_gettext("Mail address"), filters=[stripped])
    closed_on = DayField(lazy_gettext("Day of closing"))

    def next_owner(self) -> NextTyped:
        """What was typed."""
        return NextTyped(self.text("person"), self.text("email"), self.closed_on.data)


class DeclineForm(SheetForm):
    """Why it is not handed on."""

    name = "decline"
    reason = TextAreaField(lazy_gettext("Reason"), filters=[stripped])


def _shown(lot_id: str, typed: SheetForm | None = None, refusal: str = "") -> str:
    forms = {
        kind.name: typed if type(typed) is kind else kind.blank()
        for kind in (HandForm, EvidenceForm, DeclineForm)
    }
    return page(
        "office/handed_on.html", lot_id=lot_id, holders=holding.holders_of(parts(), who(), lot_id),
        transfers=office_transfers.transfers_of(parts(), who(), lot_id), forms=forms, refusal=refusal,
        may_waive=who().owner,
        wrong=typed.wrong() if typed else [], once_key=request.form.get("once_key") or fresh_once_key(),
    )  # fmt: skip


def _did(lot_id: str, form: SheetForm | None, act: Callable[[], None], said: str) -> Answer:
    try:
        if form is not None and not form.validate():
            return _shown(lot_id, form), 422
        act()
    except BadInput as bad:
        assert form is not None
        form.take(bad)
        return _shown(lot_id, form), 422
    except Refused as refused:
        return _shown(lot_id, form, told(refused.says)), 409
    flash(said)
    return redirect(url_for("office.handed_on", lot_id=lot_id), 303)


def handed_on(lot_id: str) -> Answer:
    """Every holder and every transfer; or hand it on."""
    if request.method != "POST":
        return _shown(lot_id)
    form = HandForm.sent()
    return _did(lot_id, form, lambda: office_transfers.hand_on_by_office(
        parts(), who(), lot_id, form.next_owner(), form.text("evidence"), *form.sent_file(),
        request.form.get("once_key", ""),
    ), _("Handed on. Both are told, as far as there is a mail address."))  # fmt: skip


def agree(lot_id: str, transfer_id: str) -> Answer:
    """What the terms ask for was seen."""
    form = EvidenceForm.sent()
    return _did(lot_id, form, lambda: office_transfers.agree(
        parts(), who(), lot_id, transfer_id, form.text("evidence"), *form.sent_file()
    ), _("The next owner is written to."))  # fmt: skip


def decline(lot_id: str, transfer_id: str) -> Answer:
    """Decline it, with a reason."""
    form = DeclineForm.sent()
    return _did(lot_id, form, lambda: office_transfers.decline(
        parts(), who(), lot_id, transfer_id, form.text("reason")
    ), _("Declined. The holder is told why."))  # fmt: skip


def remove_holder(lot_id: str, holder_id: str) -> Answer:
    """Remove what is kept of a holder of before, on their request; it has to be said twice, as they do."""
    if request.form.get(f"sure-{holder_id}") != "yes":
        return _shown(lot_id, refusal=_("Tick that you are sure, then press again.")), 422
    return _did(
        lot_id, None, lambda: removing.remove_holder(parts(), who(), lot_id, holder_id), _("Removed.")
    )


def fee(lot_id: str, transfer_id: str) -> Answer:
    """Bill the fee, or waive it."""
    how = request.form.get("how", "")
    return _did(lot_id, None, lambda: office_transfers.fee_done(parts(), who(), lot_id, transfer_id, how),
                _("Kept."))  # fmt: skip


def evidence(lot_id: str, transfer_id: str) -> Response:
    """The file kept as evidence, to be saved: it came from outside."""
    content, kind = office_transfers.evidence_file(parts(), who(), lot_id, transfer_id)
    response = Response(content, mimetype=kind)
    response.headers["Content-Disposition"] = f'attachment; filename="evidence-{transfer_id}"'
    return response
