"""Forms of crew days: a stop on the schedule, a technician's days off."""

from __future__ import annotations

from collections.abc import Iterable

from flask_babel import lazy_gettext as _
from wtforms import HiddenField, SelectField, StringField

from portal.acts.booking import TechnicianRow
from portal.acts.crew_schedule import CrewRow
from portal.web.office.forms import why_field
from portal.web.shared.lot_form import DayField, stripped
from portal.web.shared.sheet_form import SheetForm


class CrewBookForm(SheetForm):
    """A lot, a technician and a day on the schedule. `first` is the day the schedule began with."""

    name = "crew"
    first = HiddenField()
    lot = SelectField(_("Lot"), validate_choice=False)
    technician = SelectField(_("Technician"), validate_choice=False)
    day = DayField(_("Day"))
    kind = why_field(_("Why, where it is moved"))
    reason = StringField(_("Reason"), filters=[stripped], description=_(
        "For a day outside the open frame, over the hours, or on a day off: it is kept."))  # fmt: skip

    def offer(self, technicians: Iterable[TechnicianRow]) -> None:
        """Name those who can be booked."""
        self.technician.choices = [("", _("Choose")), *((one.id, one.name) for one in technicians)]

    def offer_lots(self, rows: Iterable[CrewRow]) -> None:
        """Name the lots; each choice carries the version that was looked at."""
        named = [
            (f"{row.lot_id}.{row.version}", f"{row.lot}, {row.house_number} {row.street}") for row in rows
        ]
        self.lot.choices = [("", _("Choose")), *named]
        # Somebody was first: the lot that was meant stays chosen, as it is now.
        chosen = self.chosen[0]
        self.lot.data = next((value for value, _name in named if value.split(".")[0] == chosen), "")

    def show(self, row: CrewRow) -> None:
        """Fill in a lot's booking as it is."""
        self.lot.data, self.technician.data = f"{row.lot_id}.{row.version}", row.technician_id or ""
        self.day.data = row.day

    @property
    def chosen(self) -> tuple[str, int]:
        """The lot's id and the version that was looked at; nothing, and 0, where none was chosen."""
        lot_id, _dot, version = str(self.lot.data or "").partition(".")
        if not lot_id.isalnum():
            return "", 0  # no id of ours, and PostgreSQL breaks when asked for one with a NUL in it
        return lot_id, int(version) if version.isdecimal() and len(version) < 10 else 0


class DaysOffForm(SheetForm):
    """Days on which a technician does not treat."""

    name = "off"
    first = DayField(_("First day"))
    last = DayField(_("Last day"), description=_("Leave it empty for one day alone."))
    words = StringField(_("What for"), filters=[stripped])
