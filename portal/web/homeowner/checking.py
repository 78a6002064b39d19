"""Is it real? A page for whoever holds a certificate: its PDF, its fingerprint or its QR, and the answer."""

from __future__ import annotations

from flask import Response, request
from flask_babel import gettext as _
from flask_babel import lazy_gettext
from werkzeug.wrappers import Response as AnyResponse

from portal.acts import is_it_real as acts
from portal.core.errors import BadInput, Problem, TooManyTries
from portal.core.words import say
from portal.web.security import address, parts
from portal.web.shared.pages import beside, page

Answer = AnyResponse | str | tuple[str, int] | tuple[str, int, dict[str, str]]

#: What was found, as a sentence.
FOUND = {
    "unchanged": lazy_gettext("This PDF is a certificate of this office, unchanged."),
    "printed": lazy_gettext(
        "This fingerprint stands on a certificate of this office. It says nothing of the paper it was read "
        "from: hold that against the page its QR leads to, or check the PDF."
    ),
    "code": lazy_gettext(
        "This QR was signed by this office. It says nothing of the paper around it: hold that against the "
        "page the QR leads to."
    ),
    "notice": lazy_gettext(
        "This QR was signed by this office for the notice posted at a house. It says nothing of the paper "
        "around it: hold that against the page the QR leads to."
    ),
    "changed": lazy_gettext(
        "This PDF carries this office’s signature and was changed after it was signed. Do not rely on what "
        "it says."
    ),
    "unkept": lazy_gettext(
        "This carries this office’s signature, and no certificate like it is kept here. Ask the office "
        "before you rely on it."
    ),
    "distrusted": lazy_gettext(
        "This was signed with a key that the office does not trust any more, and nothing like it is kept "
        "here. Somebody else may have made it: do not rely on it."
    ),
    "unknown": lazy_gettext(
        "This is not a certificate of this office, or so much of it was changed that nothing of ours is left."
    ),
}


def is_it_real() -> Answer:
    """The form, and beside it what was found."""
    if request.method != "POST":
        return _form()
    try:
        found = _checked()
    except BadInput as bad:
        return _form(errors=beside(bad)), 422
    except TooManyTries as error:
        sentence = _("Too many tries. Wait %(seconds)s seconds, then try again.", seconds=error.wait_seconds)
        return _form(sentence=sentence), 429, {"Retry-After": str(error.wait_seconds)}
    return _form(found=found, said=FOUND[found.kind], paper=bool(request.files.get("paper")))


def _checked() -> acts.Verdict:
    """What was sent, judged: the file where there is one, else the text."""
    paper, text = request.files.get("paper"), request.form.get("text", "").strip()
    if paper is not None and paper.filename:
        if text:
            raise BadInput(
                [Problem("text", say("One of the two is enough: take the file or this text away."))]
            )
        with paper.stream as stream:
            content = stream.read(acts.LARGEST + 1)
        return acts.check_paper(parts(), content, address())
    if not text:
        raise BadInput(
            [Problem("paper", say("Choose the PDF of the certificate, or write its fingerprint."))]
        )
    return acts.check_text(parts(), text, address())


def _form(**shown: object) -> str:
    known = {"errors": {}, "found": None, "paper": False, "sentence": "", "said": None} | shown
    return page(
        "homeowner/is_it_real.html", **known, typed=request.form.get("text", "").strip(),
        keys=acts.public_keys(parts()),
    )  # fmt: skip


def public_keys() -> Response:
    """The office's public keys as text: what an offline check needs."""
    lines = "".join(pair.told for pair in acts.public_keys(parts()))
    response = Response(lines, mimetype="text/plain")
    response.headers["Content-Disposition"] = 'attachment; filename="office-keys.pem"'
    return response
