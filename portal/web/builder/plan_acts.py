"""What is pressed on a plan's page, and on a lot's takeoff sheet to keep it as a plan."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _

from portal.acts import plan_views, plans
from portal.core.errors import BadInput, Overtaken, Refused
from portal.web.builder.looking import Answer, sheet_page
from portal.web.builder.plan_forms import BringBackForm, CopyForm, KeepPlanForm, RenameForm, RetireForm
from portal.web.builder.plans import plan_page
from portal.web.security import parts, who
from portal.web.shared.pages import told
from portal.web.shared.sheet_form import SheetForm

Form = TypeVar("Form", bound=SheetForm)


def copy_plan(plan_id: str) -> Answer:
    """Keep a copy of the edition that is shown."""

    def act(form: CopyForm) -> str:
        number = int(form.text("edition")) if form.text("edition").isdecimal() else 0
        copied = plans.copy(parts(), who(), plan_id, number, form.text("called"), once())
        flash(_("Copied. This is the copy; the other stays as it is."))
        return copied

    return _done(plan_id, CopyForm.sent(), act)


def rename_plan(plan_id: str) -> Answer:
    """Give the plan another name."""

    def act(form: RenameForm) -> str:
        plans.rename(parts(), who(), plan_id, form.seen, form.text("called"), once())
        flash(_("Renamed."))
        return plan_id

    return _done(plan_id, RenameForm.sent(), act)


def retire_plan(plan_id: str) -> Answer:
    """Offer the plan no more."""

    def act(form: RetireForm) -> str:
        plans.retire(parts(), who(), plan_id, form.seen, once())
        flash(_("Retired. It is offered no more; lots made from it keep it."))
        return plan_id

    return _done(plan_id, RetireForm.sent(), act)


def bring_back_plan(plan_id: str) -> Answer:
    """Offer the plan again."""

    def act(form: BringBackForm) -> str:
        plans.bring_back(parts(), who(), plan_id, form.seen, once())
        flash(_("Brought back. It is offered again."))
        return plan_id

    return _done(plan_id, BringBackForm.sent(), act)


def keep_plan(lot_id: str) -> Answer:
    """Keep a lot's takeoff as a house plan."""
    form = KeepPlanForm.sent()
    try:
        plan_id = plans.save_lot(parts(), who(), lot_id, form.text("called"), once())
    except BadInput as bad:
        form.take(bad)
        return sheet_page(lot_id, "takeoff", keeping=form), 422
    flash(_("Kept as a house plan. A lot can be asked for from it now."))
    return redirect(url_for("builder.plan", plan_id=plan_id), 303)


def once() -> str:
    """The form's once-key."""
    return request.form.get("once_key", "")


def _done(plan_id: str, form: Form, act: Callable[[Form], Any]) -> Answer:
    """Do it; where it cannot be done, the plan's page again with what was typed."""
    try:
        return redirect(url_for("builder.plan", plan_id=act(form)), 303)
    except BadInput as bad:
        form.take(bad)
        return plan_page(plan_id, form), 422
    except Overtaken as overtaken:
        # Now that the other's change is told, sending it again is meant.
        form.version.data = str(plan_views.plan_view(parts(), who(), plan_id).version)
        return plan_page(plan_id, form, overtaken_by=overtaken.by or _("Somebody else")), 409
    except Refused as refused:
        return plan_page(plan_id, form, refusal=told(refused.says)), 409
