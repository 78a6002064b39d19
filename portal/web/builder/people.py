"""A builder's own people: who is here and what each may do, the company's address, one's own letters."""

from __future__ import annotations

from flask import flash, redirect, request, session, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response

from portal.acts import colleagues
from portal.acts import people as acts
from portal.acts.parts import has
from portal.core.errors import BadInput
from portal.web.builder.forms import ColleagueForm, CompanyForm
from portal.web.security import parts, who
from portal.web.shared.pages import page
from portal.web.shared.people_pages import Places, removal, rights_page

Answer = str | Response | tuple[str, int]


def people() -> str:
    """Everybody of the company."""
    return _page()


def _page(colleague: ColleagueForm | None = None, company: CompanyForm | None = None) -> str:
    ours = colleagues.our_company(parts(), who())
    known = {"address": ours.address, "phone": ours.company.phone, "email": ours.company.email}
    return page(
        "builder/people.html", ours=ours, me=who().person_id, may_change=has(who(), "people"),
        invite_form=colleague or ColleagueForm.blank(), company_form=company or CompanyForm.blank(**known),
    )  # fmt: skip


def invite() -> Answer:
    """Invite somebody to the company by a mailed link."""
    form = ColleagueForm.sent()
    email = form.text("email").strip()
    try:
        acts.invite_colleague(parts(), who(), form.text("person"), email, form.rights)
    except BadInput as bad:
        form.take(bad)
        return _page(colleague=form), 422
    flash(_("An invitation is on its way to %(email)s.", email=email))
    return redirect(url_for("builder.people"))


def invite_again(person_id: str) -> Answer:
    """Send an invitation once more."""
    acts.invite_again(parts(), who(), person_id)
    flash(_("The invitation is on its way once more."))
    return redirect(url_for("builder.people"))


def company() -> Answer:
    """Change the company's address, phone and mail address."""
    form = CompanyForm.sent()
    try:
        colleagues.change_company(parts(), who(), *(form.text(one) for one in ("address", "phone", "email")))
    except BadInput as bad:
        form.take(bad)
        return _page(company=form), 422
    flash(_("Kept. Papers from now on carry it."))
    return redirect(url_for("builder.people"))


def letters() -> Answer:
    """Choose the letters one gets."""
    colleagues.choose_letters(parts(), who(), request.form.getlist("letters"))
    flash(_("Kept. Other letters no longer come."))
    return redirect(url_for("builder.people"))


PLACES = Places("builder.people", "builder.person", "builder.remove_person")


def person(person_id: str) -> Answer:
    """Somebody's rights, and changing them."""
    return rights_page(person_id, PLACES)


def remove_person(person_id: str) -> Answer:
    """Asks once more, then lets somebody go; whoever lets themselves go is out."""
    asked = removal(person_id, PLACES)
    if asked is not None:
        return asked
    if person_id != who().person_id:
        return redirect(url_for("builder.people"))
    session.pop("sign_in")
    return redirect(url_for("front.sign_in"))
