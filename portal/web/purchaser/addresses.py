"""A purchaser's addresses. Nobody signs in; a link opens one quote, and none of it is kept or indexed."""

from __future__ import annotations

from flask import Blueprint, Response
from flask_babel import gettext as _

from portal.core.errors import NotFound
from portal.web.purchaser import answering, looking
from portal.web.shared.pages import page

purchaser = Blueprint("purchaser", __name__)

QUOTE = "/quote/<token>"
purchaser.get(QUOTE)(looking.quote)
purchaser.get(f"{QUOTE}/quote.pdf")(looking.paper)
purchaser.post(f"{QUOTE}/accept")(answering.accept)
purchaser.post(f"{QUOTE}/decline")(answering.decline)
purchaser.post(f"{QUOTE}/take-back")(answering.take_back)


@purchaser.after_request
def unindexed(response: Response) -> Response:
    """No search engine keeps it, and neither does a browser or anything on the way."""
    response.headers["X-Robots-Tag"] = "noindex, nofollow, noarchive"
    response.headers["Cache-Control"] = "no-store"
    return response


@purchaser.errorhandler(NotFound)
def not_ours(_error: NotFound) -> tuple[str, int]:
    """Whatever is no link of ours is told alike: broken, made up, of another quote, or never there."""
    sentence = _("This link is not whole, or none of ours. Open it again from the mail, all of it.")
    return page("purchaser/over.html", heading=_("No quote here"), sentence=sentence), 404
