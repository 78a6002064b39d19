"""The forms on a quote that is being checked: how far the lot is, and extras of the rate book's list."""

from __future__ import annotations

from flask_babel import gettext as _

from portal.acts import lot_terms
from portal.acts.editions import decimal
from portal.acts.sheet import LotSheet
from portal.core.pricing.rates import ListedExtra
from portal.web.office.forms import ListedForm, MilesForm
from portal.web.security import parts, who
from portal.web.shared.pages import reads
from portal.web.shared.sheet_form import SheetForm


def lot_terms_forms(lot: LotSheet) -> list[SheetForm]:
    """Those that can be done as the lot stands; no list, no form of it."""
    document = lot.revision.document if lot.revision else None
    miles = document.miles if document else None
    listed = lot_terms.listed_extras(parts(), who())
    found: list[SheetForm] = [MilesForm.blank(miles="" if miles is None else f"{miles:f}")]
    return [*found, offer(ListedForm.blank(), listed)] if listed else found


def offer(form: ListedForm, listed: tuple[ListedExtra, ...] | None = None) -> ListedForm:
    """Name what is on the list, each with its price."""
    known = lot_terms.listed_extras(parts(), who()) if listed is None else listed
    form.listed.choices = [("", _("Choose")), *((one.name, _worded(one)) for one in known)]
    return form


def _worded(one: ListedExtra) -> str:
    price = reads().rate(decimal(one.price))
    if one.by == "piece":
        return str(_("%(name)s, %(price)s a piece", name=one.name, price=price))
    return str(_("%(name)s, %(price)s a foot", name=one.name, price=price))
