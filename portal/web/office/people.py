"""Who may come in: the office's own people, the technicians, the builders with theirs."""

from __future__ import annotations

from flask import flash, redirect, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response

from portal.acts import people as acts
from portal.acts.parts import RIGHTS
from portal.core.errors import BadInput
from portal.web.office.forms import BuilderForm, InviteForm
from portal.web.security import parts, who
from portal.web.shared.pages import page
from portal.web.shared.people_pages import Places, removal, rights_page

Answer = str | Response | tuple[str, int]


def people() -> str:
    """Everybody."""
    return _page()


def _page(invite_form: InviteForm | None = None, builder_form: BuilderForm | None = None) -> str:
    own, companies = acts.everybody(parts(), who())
    inviting = invite_form or InviteForm.blank(**dict.fromkeys(RIGHTS, True))
    kinds = [("", _("Choose")), ("builder", _("works for a builder")), ("technician", _("technician"))]
    inviting.kind.choices = [*kinds, ("office", _("office"))] if who().owner else kinds
    inviting.company.choices = [("", _("Choose")), *((company.id, company.name) for company in companies)]
    return page("office/people.html", own=own, companies=companies, invite_form=inviting,
                builder_form=builder_form or BuilderForm.blank())  # fmt: skip


def invite() -> Answer:
    """Invite somebody by a mailed link."""
    form = InviteForm.sent()
    email = form.text("email").strip()
    entered = (
        form.text("kind"),
        form.text("person"),
        email,
        form.text("company") or None,
        form.text("certificate"),
    )
    try:
        acts.invite(parts(), who(), *entered, rights=form.rights)
    except BadInput as bad:
        form.take(bad)
        return _page(invite_form=form), 422
    flash(_("An invitation is on its way to %(email)s.", email=email))
    return redirect(url_for("office.people"))


def invite_again(person_id: str) -> Answer:
    """Send an invitation once more."""
    acts.invite_again(parts(), who(), person_id)
    flash(_("The invitation is on its way once more."))
    return redirect(url_for("office.people"))


PLACES = Places("office.people", "office.person", "office.remove_person")


def person(person_id: str) -> Answer:
    """The rights of somebody of a builder's, and changing them."""
    return rights_page(person_id, PLACES)


def remove_person(person_id: str) -> Answer:
    """Asks once more, then lets somebody of a builder's go."""
    asked = removal(person_id, PLACES)
    if asked is not None:
        return asked
    return redirect(url_for("office.people"))


def add_builder() -> Answer:
    """Add a builder's company."""
    form = BuilderForm.sent()
    entered = [form.text(name) for name in ("company", "address", "phone", "email")]
    try:
        acts.add_company(parts(), who(), *entered)
    except BadInput as bad:
        form.take(bad)
        return _page(builder_form=form), 422
    flash(_("%(name)s is added. Invite its people next.", name=form.text("company")))
    return redirect(url_for("office.people"))
