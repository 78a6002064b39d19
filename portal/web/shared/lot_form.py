"""The fields of a lot beside its house: where it is, what it stands on, its days, and notes."""

from __future__ import annotations

from datetime import date
from typing import Any

from flask_babel import lazy_gettext as _
from flask_wtf import FlaskForm
from wtforms import DateField, RadioField, StringField, TextAreaField

from portal.acts.asking import FOUNDATIONS, LotAsked
from portal.acts.sheet import LotSheet
from portal.web.shared import words

NOTES = _("Gate codes, dogs, where the water is, what is covered already.")


def stripped(value: str | None) -> str:
    """What was typed, without the spaces around it."""
    return (value or "").strip()


class DayField(DateField):
    """A calendar day. What cannot be read is kept, and told with a day that can."""

    def process_formdata(self, valuelist: list[str]) -> None:
        """Read ISO 8601, as the browser's own date field sends it; blank is no day."""
        self.data = None
        typed = stripped(valuelist[0]) if valuelist else ""
        if not typed:
            return
        try:
            self.data = date.fromisoformat(typed)
        except ValueError:
            says = self.gettext("“%s” is no day; write it as 2027-03-09.")
            raise ValueError(says % typed[:20]) from None


class LotForm(FlaskForm):
    """A lot, as a builder asks for it and the office corrects it."""

    name = StringField(_("Lot"), filters=[stripped], description=_("As you call it: Lot 7."))
    subdivision = StringField(_("Subdivision"), filters=[stripped])
    house_number = StringField(_("House number"), filters=[stripped])
    street = StringField(_("Street"), filters=[stripped])
    town = StringField(_("Town"), filters=[stripped])
    state = StringField(_("State"), filters=[stripped])
    postal_code = StringField(_("ZIP code"), filters=[stripped])
    foundation = RadioField(_("The house stands on"), validate_choice=False, choices=lambda: [
        (key, words.FOUNDATIONS[key]) for key in FOUNDATIONS
    ])  # fmt: skip
    framing_done = DayField(_("Framing done"), description=_(
        "The first day on which the frame stands whole and can be treated."))  # fmt: skip
    siding_starts = DayField(_("Siding starts"), description=_(
        "Up to that day every wall can be sprayed from both sides."))  # fmt: skip
    insulation_starts = DayField(_("Insulation starts"), description=_(
        "From that day the frame is closed: the treatment has to come before."))  # fmt: skip
    notes = TextAreaField(_("Anything the crew should know"), filters=[stripped], description=NOTES)

    def asked(self, house: dict[str, Any]) -> LotAsked:
        """What was entered, with the house."""
        values = {key: value for key, value in self.data.items() if key != "csrf_token"}
        return LotAsked(house=house, **values | {"foundation": self.foundation.data or ""})


def of_lot(lot: LotSheet) -> dict[str, Any]:
    """The fields of a lot that is there already."""
    place = lot.place
    return {
        "name": place.lot, "subdivision": place.subdivision, "house_number": place.house_number,
        "street": place.street, "town": place.town, "state": place.state, "postal_code": place.postal_code,
        "foundation": place.foundation, "framing_done": lot.framing_done,
        "siding_starts": lot.siding_starts,
        "insulation_starts": lot.insulation_starts, "notes": lot.notes,
    }  # fmt: skip
