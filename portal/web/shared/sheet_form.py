"""Forms on a lot's sheet: what all of them carry, and the one for the day siding starts."""

from __future__ import annotations

from typing import Any, ClassVar, Self

from flask_babel import lazy_gettext as _
from flask_wtf import FlaskForm
from wtforms import Field, HiddenField, SelectField

from portal.acts.sheet import LotSheet
from portal.core.errors import BadInput
from portal.web.shared.lot_form import DayField
from portal.web.shared.pages import told

#: The sheets on which the day siding starts is asked for.
SIDING_DAY_ON = ("takeoff", "quote", "treatment")


class SheetForm(FlaskForm):
    """A form of one act: it takes the act's problems beside its fields, and says what was typed.

    On a lot's sheet it carries the lot's version. `name` tells the forms of one page apart, in the names of
    their fields too; `offered` is whether the act can be done as the lot stands now.
    """

    name = ""
    #: Fields that an act calls otherwise than the form.
    elsewhere: ClassVar[dict[str, str]] = {}
    offered = True
    version = HiddenField()

    @classmethod
    def blank(cls, **known: Any) -> Self:
        """The form before anything is typed, with what is known."""
        return cls(formdata=None, prefix=f"{cls.name}-", data=known)

    @classmethod
    def sent(cls) -> Self:
        """The form as this request sends it."""
        return cls(prefix=f"{cls.name}-")

    @property
    def seen(self) -> int:
        """The version of the lot that was looked at; 0, which no lot has, where it is no number."""
        typed = self.version.data or ""
        return int(typed) if typed.isdecimal() and len(typed) < 10 else 0

    def text(self, name: str) -> str:
        """What a field holds; nothing where it was not sent."""
        return str(self[name].data or "")

    def take(self, bad: BadInput) -> None:
        """Put each problem beside its field."""
        for problem in bad.problems:
            at = self.elsewhere.get(problem.at, problem.at)
            if at in self:
                self[at].errors = [*self[at].errors, told(problem.says)]
            else:
                self.form_errors.append(told(problem.says))

    def wrong(self) -> list[tuple[str, str]]:
        """Every problem with the id of its field, for the summary."""
        beside = [(field.id, f"{field.label.text}: {says}") for field in self for says in field.errors]
        return [("", str(says)) for says in self.form_errors] + beside

    def typed(self) -> list[tuple[Any, str]]:
        """What was typed, with its labels."""
        shown = [(field, _typed(field)) for field in self if not isinstance(field, HiddenField)]
        return [(field.label.text, words) for field, words in shown if words]


def _typed(field: Field) -> str:
    typed = str((field.raw_data or [""])[0]).strip()
    if isinstance(field, SelectField):
        return next((str(label) for value, label, *_rest in field.iter_choices() if value == typed), typed)
    return typed


class FrameDaysForm(SheetForm):
    """The days between which the frame stands open."""

    name = "frame"
    framing_done = DayField(
        _("Framing done"), description=_("The first day on which the frame stands whole.")
    )
    insulation_starts = DayField(_("Insulation starts"), description=_(
        "From that day the frame is closed: the treatment has to come before."))  # fmt: skip


class SidingDayForm(SheetForm):
    """The day siding starts. `sheet` is the sheet it was sent from, and goes back to."""

    name = "siding-day"
    sheet = HiddenField()
    siding_starts = DayField(_("Siding starts"))

    @classmethod
    def of(cls, lot: LotSheet) -> Self:
        """The form with the day that is known, for the lot as it stands."""
        return cls.blank(siding_starts=lot.siding_starts, version=str(lot.version))

    @property
    def came_from(self) -> str:
        """The sheet it was sent from; the quote where that is none."""
        return self.sheet.data if self.sheet.data in SIDING_DAY_ON else "quote"
