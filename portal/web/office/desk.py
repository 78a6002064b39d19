"""The lists the office starts from: Today and Lots. Money in and the warranty register have their own."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from flask import abort, request, url_for

from portal.acts import desk
from portal.core.journey import STAGES
from portal.store.reads import LotFilter
from portal.web.security import parts, who
from portal.web.shared.pages import page


def today() -> str:
    """What needs a hand on it."""
    return page("office/today.html", day=desk.today(parts(), who()), today=parts().today())


def lots() -> str:
    """Lots of all builders, newest change first, 50 a page."""
    text, stage = request.args.get("text", "").strip(), request.args.get("stage", "")
    stages = (stage,) if stage in STAGES else ()
    which = LotFilter(text=text, stages=stages, after=_after(request.args.get("after", "")))
    found = desk.list_lots(parts(), who(), which)
    asked: dict[str, Any] = {key: value for key, value in (("text", text), ("stage", stage)) if value}
    older = None
    if found.more and found.more.after:
        at, lot_id = found.more.after
        older = url_for("office.lots", **asked, after=f"{at.isoformat()}~{lot_id}")
    return page(
        "office/lots.html", found=found, text=text, stage=stage, stages=STAGES, older=older,
        newest=url_for("office.lots", **asked) if which.after else None,
    )  # fmt: skip


def _after(typed: str) -> tuple[datetime, str] | None:
    """Where the page before ended. Raises 404 for what no page of ours links to."""
    at, _tilde, lot_id = typed.partition("~")
    if not typed:
        return None
    try:
        moment = datetime.fromisoformat(at)
    except ValueError:
        abort(404)
    if moment.tzinfo is None or not lot_id:
        abort(404)
    return moment, lot_id
