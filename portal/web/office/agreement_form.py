"""The forms of an agreement on prices: entering one, and ending one."""

from __future__ import annotations

from typing import Any

from flask import request
from flask_babel import lazy_gettext as _
from wtforms import SelectField, StringField, TextAreaField

from portal.acts.agreeing import AgreementAsked
from portal.core.errors import BadInput
from portal.web.office.edition_fields import A_FOOT, Entry, Rows
from portal.web.office.edition_values import filled_rows, row_count
from portal.web.shared.lot_form import DayField, stripped
from portal.web.shared.pages import told
from portal.web.shared.sheet_form import SheetForm

#: Bands of an agreement's own; more than these nobody agrees on.
BANDS = Rows(
    "bands", _("Bands of its own"),
    _("In place of the rate book’s. Slices of the feet, each at its own rate. The last one has no end: "
      "leave its feet empty. No band may have a higher rate than the one before it."),
    (Entry("up_to_feet", _("Up to"), unit=_("ft")), Entry("per_foot", _("Rate"), unit=A_FOOT)),
    6, "percent",
)  # fmt: skip


class AgreementForm(SheetForm):
    """An agreement: for whom, from when to when, and bands or a percentage."""

    name, elsewhere = "agreement", {"kind": "percent"}
    company = SelectField(_("Builder"), validate_choice=False)
    subdivision = StringField(_("Subdivision"), filters=[stripped],
                              description=_("Leave it empty for all lots of the builder."))  # fmt: skip
    first_day = DayField(_("Holds from"))
    last_day = DayField(_("Holds through"), description=_("Leave it empty where no end is agreed."))
    percent = StringField(_("Percentage off"), filters=[stripped], render_kw={"inputmode": "decimal"},
                          description=_("Off the whole quote, in place of the rate book’s discount where "
                                        "that is less. Or enter bands below."))  # fmt: skip
    note = TextAreaField(_("Note"), filters=[stripped], render_kw={"rows": 2},
                         description=_("For the office. The builder does not see it."))  # fmt: skip

    def bands(self) -> list[dict[str, str]]:
        """The bands that were typed; the last one without its empty end."""
        rows = filled_rows(BANDS, request.form)
        if rows and rows[-1]["up_to_feet"] == "":
            return [*rows[:-1], {"per_foot": rows[-1]["per_foot"]}]
        return rows

    def asked(self) -> AgreementAsked:
        """What was entered: what is empty is not agreed on."""
        document: dict[str, Any] = {"bands": bands} if (bands := self.bands()) else {}
        if self.text("percent"):
            document["percent"] = self.text("percent")
        return AgreementAsked(
            self.text("company"), self.text("subdivision"), self.first_day.data, self.last_day.data,
            document, self.text("note"),
        )  # fmt: skip

    def take_rows(self, bad: BadInput) -> dict[str, list[str]]:
        """Put each problem beside its field; of the bands by their paths, which are answered."""
        self.take(BadInput([one for one in bad.problems if not one.at.startswith("bands")]))
        found: dict[str, list[str]] = {}
        for one in bad.problems:
            if one.at.startswith("bands"):
                found.setdefault(one.at, []).append(told(one.says))
        return found

    @property
    def rows_typed(self) -> dict[str, str]:
        """The cells of the bands by path, closed up."""
        rows = filled_rows(BANDS, request.form)
        return {f"bands[{i}].{key}": text for i, row in enumerate(rows) for key, text in row.items()}

    @property
    def count(self) -> int:
        """How many rows to show."""
        return row_count(BANDS, self.rows_typed)


class EndForm(SheetForm):
    """An agreement's last day."""

    name = "end"
    last_day = DayField(_("Last day"))
    reason = TextAreaField(_("Reason"), filters=[stripped], render_kw={"rows": 2})
