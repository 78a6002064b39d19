"""A takeoff started from a house plan: by its address, or by the choice on the form; without a script."""

from __future__ import annotations

from dataclasses import dataclass

from flask import request

from portal.acts import plan_views
from portal.core.errors import BadInput, Refused
from portal.web.security import parts, who
from portal.web.shared import house_form
from portal.web.shared.takeoff_page import TakeoffPage


@dataclass(frozen=True, slots=True)
class Started:
    """The edition that the form's house was filled from. Without an edition, from none."""

    edition_id: str | None = None
    plan_id: str = ""
    plan: str = ""
    edition: int = 0
    mirrored: bool = False


def started(form: TakeoffPage) -> Started:
    """What this request starts from, its house put into the form where that was just asked for."""
    if request.method == "GET":
        plan_id, number = request.args.get("plan", ""), request.args.get("edition", type=int)
        return _fill(form, plan_id, number, request.args.get("mirrored") == "yes") if plan_id else Started()
    if form.pressed != "plan":
        return _carried()
    plan_id = request.form.get("start_plan", "")
    try:
        return _fill(form, plan_id, None, _ticked("start_mirrored")) if plan_id else Started()
    except Refused as refused:
        form.refuse(refused)
    except BadInput as bad:
        form.add(bad.problems)
    return _carried()


def _fill(form: TakeoffPage, plan_id: str, number: int | None, mirrored: bool) -> Started:
    found = plan_views.start(parts(), who(), plan_id, number, flipped=mirrored)
    form.house, form.short = house_form.from_document(found.house), False
    form.work_out()
    return Started(found.edition_id, found.plan_id, found.plan, found.edition, found.mirrored)


def _carried() -> Started:
    edition_id = request.form.get("from_edition", "")
    if not edition_id:
        return Started()
    plan_id, plan, number = plan_views.started_from(parts(), who(), edition_id)
    return Started(edition_id, plan_id, plan, number, _ticked("from_mirrored"))


def _ticked(name: str) -> bool:
    return request.form.get(name) == "yes"
