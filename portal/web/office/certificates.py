"""A technician as records name them: certificate number and supervisor."""

from __future__ import annotations

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _
from werkzeug.wrappers import Response

from portal.acts import certificates
from portal.core.errors import BadInput
from portal.web.office.forms import CertificateForm
from portal.web.security import parts, who
from portal.web.shared.pages import page


def certificate(technician_id: str) -> str | Response | tuple[str, int]:
    """Shows what stands on records; what is sent changes it for those to come."""
    found = certificates.certified(parts(), who(), technician_id)
    if request.method == "GET":
        form = CertificateForm.blank(certificate=found.certificate, supervisor=found.supervisor)
        return page("office/certificate.html", whom=found, form=form)
    form = CertificateForm.sent()
    try:
        certificates.certify(parts(), who(), technician_id, form.text("certificate"), form.text("supervisor"))
    except BadInput as bad:
        form.take(bad)
        return page("office/certificate.html", whom=found, form=form), 422
    flash(_("Kept. It stands on the next records of %(name)s.", name=found.name))
    return redirect(url_for("office.people"))
