"""The pages on which somebody of a builder's is changed or removed: by their company, and by the office."""

from __future__ import annotations

from dataclasses import dataclass

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response

from portal.acts import colleagues
from portal.core.errors import BadInput, Refused
from portal.web.security import parts, who
from portal.web.shared.pages import page, told
from portal.web.shared.people_form import RightsForm


@dataclass(frozen=True, slots=True)
class Places:
    """A room's own endpoints: the list of people, one of them, and the question before one is removed."""

    people: str
    person: str
    remove: str


def rights_page(person_id: str, at: Places) -> str | Response | tuple[str, int]:
    """Shows somebody's rights; what is sent changes them."""
    if request.method == "GET":
        whom = colleagues.person_to_change(parts(), who(), person_id)
        return _rights(person_id, at, RightsForm.of(whom.rights))
    form = RightsForm.sent()
    try:
        colleagues.change_rights(parts(), who(), person_id, form.rights, form.seen_rights)
    except BadInput as bad:
        form.take(bad)
        return _rights(person_id, at, form), 422
    except Refused as refused:
        return _rights(person_id, at, form, told(refused.says)), 409
    flash(_("Kept. It holds from their next page on."))
    return redirect(url_for(at.people))


def _rights(person_id: str, at: Places, form: RightsForm, refusal: str = "") -> str:
    whom = colleagues.person_to_change(parts(), who(), person_id)
    return page("shared/person.html", whom=whom, form=form, refusal=refusal, at=at,
                own=person_id == who().person_id)  # fmt: skip


def removal(person_id: str, at: Places) -> Response | str | tuple[str, int] | None:
    """Asks once more, then lets somebody go: the page to answer with, or None once they are out."""
    if request.method == "GET":
        return _removal_page(person_id, at)
    whom = colleagues.person_to_change(parts(), who(), person_id)
    try:
        colleagues.remove(parts(), who(), person_id)
    except Refused as refused:
        return _removal_page(person_id, at, told(refused.says)), 409
    flash(_("%(name)s is out. The name stays in the record.", name=whom.name))
    return None


def _removal_page(person_id: str, at: Places, refusal: str = "") -> str:
    """Asks once more whether somebody is to be let go."""
    whom = colleagues.person_to_change(parts(), who(), person_id)
    return page("shared/person_remove.html", whom=whom, refusal=refusal, at=at,
                own=person_id == who().person_id)  # fmt: skip
