"""A holder's forms: a new link, own address, the next owner of the house."""

from __future__ import annotations

from flask_babel import lazy_gettext as _
from wtforms import EmailField, StringField

from portal.acts.transferring import NextTyped
from portal.web.shared.lot_form import DayField, stripped
from portal.web.shared.sheet_form import SheetForm

OFF = {"autocomplete": "off"}


class LinkForm(SheetForm):
    """A holder's link, asked for anew."""

    name = "link"
    number = StringField(_("Warranty number"), filters=[stripped], render_kw=OFF)
    email = EmailField(_("Mail address"), filters=[stripped], render_kw={"autocomplete": "email"},
                       description=_("The one that is on record with the warranty."))  # fmt: skip


class ContactForm(SheetForm):
    """How the holder is reached."""

    name = "contact"
    email = EmailField(_("Mail address"), filters=[stripped], render_kw={"autocomplete": "email"})
    phone = StringField(_("Phone"), filters=[stripped], render_kw={"type": "tel", "autocomplete": "tel"})


class NextForm(SheetForm):
    """The next owner of the house."""

    name, elsewhere = "next", {"name": "person"}
    person = StringField(_("Name of the next owner"), filters=[stripped], render_kw=OFF)
    email = EmailField(_("Their mail address"), filters=[stripped], render_kw=OFF)
    closed_on = DayField(_("Day of closing"))

    def next_owner(self) -> NextTyped:
        """What was typed."""
        return NextTyped(self.text("person"), self.text("email"), self.closed_on.data)


class TakeForm(SheetForm):
    """The next owner takes it over."""

    name, elsewhere = "take", {"name": "person"}
    person = StringField(_("Your name"), filters=[stripped], render_kw={"autocomplete": "name"})
    phone = StringField(_("Phone"), filters=[stripped], render_kw={"type": "tel", "autocomplete": "tel"})
