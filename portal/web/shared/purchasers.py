"""Links mailed to purchasers, on a lot's quote: the form to mail one, and what is out."""

from __future__ import annotations

from functools import partial
from typing import Any

from flask import url_for
from flask_babel import lazy_gettext as _
from wtforms import EmailField, StringField

from portal.acts.answers import answers
from portal.acts.sheet import LotSheet, RevisionView
from portal.web.security import parts, who
from portal.web.shared.lot_form import DayField, stripped
from portal.web.shared.sheet_form import SheetForm

#: How a link stands, as whoever mailed it reads it; and the mark it is drawn with.
LINKS = {
    "open": _("not answered"), "kept": _("first yes given"), "accepted": _("accepted"),
    "declined": _("declined"), "withdrawn": _("withdrawn"), "superseded": _("newer revision out"),
    "answered": _("answered by others"), "lapsed": _("quote lapsed"), "expired": _("over"),
}  # fmt: skip
MARKS = {"open": "waits", "kept": "waits", "accepted": "done", "answered": "done"}


class LinkForm(SheetForm):
    """One named purchaser."""

    name, elsewhere = "link", {"name": "person"}
    person = StringField(_("Name of the purchaser"), filters=[stripped], render_kw={"autocomplete": "off"})
    email = EmailField(_("Mail address"), filters=[stripped], render_kw={"autocomplete": "off"})
    until = DayField(_("Works through"), description=_("Left empty, as long as the quote holds."))


def beside_the_answer(
    lot: LotSheet, shown: str, quote: RevisionView | None, room: str, form: LinkForm
) -> dict[str, Any]:
    """What first_yes.html and purchasers.html need. `answers` is there only for a quote that was sent."""
    sent = shown == "quote" and quote is not None and quote.sent_at is not None
    return {
        "answers": answers(parts(), who(), lot.id, quote.number) if sent and quote else None,
        "link_form": form, "link_words": link_words, "link_mark": link_mark,
        "links_url": url_for(f"{room}.mail_link", lot_id=lot.id),
        "withdraw_url": partial(_withdraw_url, room, lot.id),
        "take_back_url": url_for("builder.take_back", lot_id=lot.id) if room == "builder" else None,
    }  # fmt: skip


def _withdraw_url(room: str, lot_id: str, link_id: str) -> str:
    return url_for(f"{room}.withdraw_link", lot_id=lot_id, link_id=link_id)


def link_words(standing: str) -> str:
    """How a link stands, in words."""
    return str(LINKS[standing])


def link_mark(standing: str) -> str:
    """The mark it is drawn with."""
    return MARKS.get(standing, "stopped")
