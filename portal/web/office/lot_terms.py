"""What is entered on a quote that its price depends on."""

from __future__ import annotations

from flask_babel import gettext as _

from portal.acts import lot_terms
from portal.web.office.forms import ListedForm, MilesForm
from portal.web.office.lot import Answer, do
from portal.web.office.lot_terms_forms import offer
from portal.web.security import parts, who


def miles(lot_id: str) -> Answer:
    """Enter how far it is."""
    return do(lot_id, "quote", MilesForm.sent(), lambda f: lot_terms.set_miles(
        parts(), who(), lot_id, f.seen, f.text("miles")
    ), _("The miles are entered."))  # fmt: skip


def listed(lot_id: str) -> Answer:
    """Add an extra of the list."""
    return do(lot_id, "quote", offer(ListedForm.sent()), lambda f: lot_terms.add_listed(
        parts(), who(), lot_id, f.seen, f.text("listed"), f.text("quantity"), f.text("why")
    ), _("The line is added."))  # fmt: skip
