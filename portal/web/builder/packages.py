"""A builder's packages: put together, looked at, answered whole or lot by lot."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from flask import Response, flash, redirect, request, url_for
from flask_babel import gettext as _
from flask_babel import ngettext

from portal.acts import package_answer, package_lists, packing, papers
from portal.acts.package_answer import Seen
from portal.acts.package_sheet import package_sheet
from portal.core.errors import BadInput, Overtaken, Refused
from portal.web.builder.looking import Answer
from portal.web.security import parts, who
from portal.web.shared.package_page import package_page
from portal.web.shared.pages import beside, fresh_once_key, page, summary, told
from portal.web.shared.paper_answers import pdf

#: What a form of this page may hold beside its ticks.
TYPED = ("name", "purchase_order", "reason")


def packages() -> str:
    """All of a builder's packages."""
    return page("builder/packages.html", rows=package_lists.list_packages(parts(), who()))


def put_together() -> Answer:
    """Lots that are still with the office, to be put together."""
    name, chosen = request.form.get("name", "").strip(), request.form.getlist("lots")
    errors: dict[str, list[str]] = {}
    if request.method == "POST":
        try:
            made = packing.put_together(parts(), who(), name, tuple(chosen), once())
        except BadInput as bad:
            errors = beside(bad)
        else:
            flash(_("Put together. The office prices the lots together and sends you their quotes."))
            return redirect(url_for("builder.package", package_id=made), 303)
    lots = package_lists.unpacked(parts(), who())
    shown = page(
        "builder/put_together.html", lots=lots, name=name, chosen=chosen, errors=errors,
        problems=summary(errors), once=once() or fresh_once_key(),
    )  # fmt: skip
    return (shown, 422) if errors else shown


def package(package_id: str) -> str:
    """A package."""
    return _page(package_id)


def put_in(package_id: str) -> Answer:
    """More lots into it."""
    return _done(package_id, "add", lambda: _put_in(package_id))


def _put_in(package_id: str) -> None:
    chosen = tuple(request.form.getlist("lots"))
    packing.put_in(parts(), who(), package_id, chosen, once())
    flash(ngettext("One lot is put in.", "%(num)s lots are put in.", len(chosen)))


def take_out(package_id: str) -> Answer:
    """One lot out of it again."""
    return _done(package_id, "out", lambda: _take_out(package_id))


def _take_out(package_id: str) -> None:
    lot_id, _colon, version = request.form.get("lot", "").partition(":")
    seen = int(version) if version.isdecimal() and len(version) < 10 else 0
    packing.take_out(parts(), who(), package_id, lot_id, seen)
    flash(_("Taken out. The lot is priced by itself again."))


def accept(package_id: str) -> Answer:
    """Accept what was ticked, or all of it."""
    return _done(package_id, "answer", lambda: _accept(package_id))


def _accept(package_id: str) -> None:
    typed, seen = request.form, _seen(every=request.form.get("press") == "all")
    name, order = typed.get("name", "").strip(), typed.get("purchase_order", "").strip()
    found = package_answer.accept_lots(parts(), who(), package_id, seen, name, order, once())
    if found.accepted:
        flash(ngettext("One lot is accepted. The office books the day; you will be told by mail.",
                       "%(num)s lots are accepted. The office books the days; you will be told by mail.",
                       found.accepted))  # fmt: skip
    if found.waiting:
        flash(ngettext("Your yes to one lot is kept. It waits for that of a second person of your company.",
                       "Your yes to %(num)s lots is kept. It waits for that of a second person.",
                       found.waiting))  # fmt: skip


def decline(package_id: str) -> Answer:
    """Decline what was ticked."""
    return _done(package_id, "answer", lambda: _decline(package_id))


def _decline(package_id: str) -> None:
    reason = request.form.get("reason", "").strip()
    count = package_answer.decline_lots(parts(), who(), package_id, _seen(every=False), reason, once())
    flash(ngettext("One lot is declined. The office has your reason.",
                   "%(num)s lots are declined. The office has your reason.", count))  # fmt: skip


def paper(package_id: str, issue: int) -> Response:
    """A cover as a PDF."""
    return pdf(papers.cover(parts(), who(), package_id, issue))


def once() -> str:
    """The form's once-key."""
    return request.form.get("once_key", "")


def _seen(*, every: bool) -> tuple[Seen, ...]:
    """What was answered for: exactly the revisions whose numbers and fingerprints the page carried."""
    typed: Mapping[str, str] = request.form
    shown = [key.removeprefix("seen-") for key in typed if key.startswith("seen-")]
    chosen = shown if every else [lot for lot in shown if lot in set(request.form.getlist("lots"))]
    return tuple(Seen(lot, *_revision(typed[f"seen-{lot}"])) for lot in chosen)


def _revision(text: str) -> tuple[int, str]:
    number, _colon, mark = text.partition(":")
    return (int(number) if number.isdecimal() and len(number) < 10 else 0), mark


def _done(package_id: str, part: str, act: Callable[[], None]) -> Answer:
    """Do it, and show the package; where it cannot be done, the package with what was typed."""
    try:
        act()
    except BadInput as bad:
        return _page(package_id, part, beside(bad)), 422
    except Refused as refused:
        return _page(package_id, refusal=told(refused.says)), 409
    except Overtaken:
        said = _("This changed in the meantime, and nothing of yours was done. Look at it as it is now.")
        return _page(package_id, refusal=said), 409
    return redirect(url_for("builder.package", package_id=package_id), 303)


def _page(
    package_id: str, part: str = "", errors: dict[str, list[str]] | None = None, refusal: str = ""
) -> str:
    found = package_sheet(parts(), who(), package_id)
    more: dict[str, Any] = {
        "typed": {key: request.form.get(key, "") for key in TYPED},
        "ticked": request.form.getlist("lots"), "part": part, "errors": errors or {},
        "problems": summary(errors or {}), "refusal": refusal, "once": once() or fresh_once_key(),
        "others": package_lists.unpacked(parts(), who()) if found.takes_more else (),
    }  # fmt: skip
    return package_page("builder/package.html", found, "builder", **more)
