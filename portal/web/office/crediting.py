"""Credit notes, bills anew, and releases of what was held back. Each is shown before it is done."""

from __future__ import annotations

from typing import Any

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _

from portal.acts import crediting as acts
from portal.acts import rebilling, releasing
from portal.acts.crediting import Creditable
from portal.acts.issuing import seen_of
from portal.acts.rebilling import Change, Rebilled
from portal.core.errors import BadInput, Refused
from portal.web.office.lot import Answer
from portal.web.security import parts, who
from portal.web.shared import rows
from portal.web.shared.pages import beside, fresh_once_key, page, summary, told

#: Lines that can be added to a bill anew at once.
ROWS = 4


def credit(invoice_id: str) -> Answer:
    """Credit an invoice, whole or by line."""
    found = acts.creditable(parts(), who(), invoice_id)
    if request.method != "POST":
        return _credit_page(found, {}, {})
    typed = {one.name: request.form.get(one.name, "").strip() for one in found.lines}
    reason, whole = request.form.get("reason", "").strip(), request.form.get("how") == "whole"
    values = typed | {"reason": reason, "how": request.form.get("how", "")}
    try:
        once = request.form.get("once_key", "")
        acts.credit(parts(), who(), invoice_id, typed, whole, reason, once)
    except BadInput as bad:
        return _credit_page(found, values, beside(bad)), 422
    except Refused as refused:
        return _credit_page(found, values, {"lines": [told(refused.says)]}), 409
    flash(_("The credit note is issued. The builder has a letter of it."))
    return redirect(url_for("office.lot", lot_id=found.lot_id, sheet="invoice"), 303)


def _credit_page(found: Creditable, values: dict[str, str], errors: dict[str, list[str]]) -> str:
    return page(
        "office/credit.html", found=found, values=values, errors=errors, problems=summary(errors),
        label_of=rows.label_of,
        once=request.form.get("once_key") or fresh_once_key(),
    )  # fmt: skip


def rebill(invoice_id: str) -> Answer:
    """Bill the lots of a credited invoice anew: shown first, then issued as it was shown."""
    order = request.form.get("purchase_order")
    changes = tuple(_change(n) for n in range(ROWS))
    try:
        if request.method == "POST" and request.form.get("what") == "issue":
            once = request.form.get("once_key", "")
            seen = request.form.get("seen", "")
            rebilling.rebill(parts(), who(), invoice_id, order or "", changes, seen, once)
            lot_id = acts.creditable(parts(), who(), invoice_id).lot_id
            flash(_("The invoice is issued. The builder has a letter of it."))
            return redirect(url_for("office.lot", lot_id=lot_id, sheet="invoice"), 303)
        if order is None:
            order = acts.creditable(parts(), who(), invoice_id).document.purchase_order
        look = rebilling.look(parts(), who(), invoice_id, order, changes)
    except BadInput as bad:
        return _rebill_page(invoice_id, order or "", changes, None, beside(bad)), 422
    except Refused as refused:
        shown = _rebill_page(invoice_id, order or "", changes, None, {"changes": [told(refused.says)]})
        return (shown, 409) if request.method == "POST" else shown
    return _rebill_page(invoice_id, order, changes, look, {})


def _change(n: int) -> Change:
    typed = {key: request.form.get(f"{key}.{n}", "").strip() for key in ("label", "reason", "amount", "lot")}
    lot = typed["lot"] if typed["lot"].isdecimal() and len(typed["lot"]) < 4 else "0"
    return Change(int(lot), typed["label"], typed["reason"], typed["amount"])


def _rebill_page(
    invoice_id: str, order: str, changes: tuple[Change, ...], look: Rebilled | None,
    errors: dict[str, list[str]],
) -> str:  # fmt: skip
    before = acts.creditable(parts(), who(), invoice_id)
    more: dict[str, Any] = {
        "once": request.form.get("once_key") or fresh_once_key(),
        "seen": seen_of(look.document) if look else "",
    }  # fmt: skip
    return page(
        "office/rebill.html", before=before.document, lot_id=before.lot_id, order=order, changes=changes,
        look=look, errors=errors, problems=summary(errors), rows=rows, **more,
    )  # fmt: skip


def release(invoice_id: str) -> Answer:
    """Release what was held back, all of it or a part."""
    found = acts.creditable(parts(), who(), invoice_id)
    held = releasing.held(parts(), who(), invoice_id)
    values, errors = {"amount": str(held)}, {}
    if request.method == "POST":
        values = {"amount": request.form.get("amount", "").strip()}
        once = request.form.get("once_key", "")
        try:
            releasing.release_retainage(parts(), who(), invoice_id, values["amount"], once)
        except BadInput as bad:
            errors = beside(bad)
        else:
            flash(_("It is released. The builder has a letter of it."))
            return redirect(url_for("office.lot", lot_id=found.lot_id, sheet="invoice"), 303)
    shown = page(
        "office/release.html", found=found, held=held, values=values, errors=errors, problems=summary(errors),
        once=request.form.get("once_key") or fresh_once_key(),
    )  # fmt: skip
    return (shown, 422) if errors else shown
