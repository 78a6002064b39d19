"""What is said to whoever opens a mailed link that opens nothing."""

from __future__ import annotations

from flask_babel import gettext as _

from portal.core.errors import NotFound, Refused
from portal.web.shared.pages import page, told


def over(why: Refused | NotFound | None = None) -> tuple[str, int]:
    """The page of a link that is over, with the reason where one was given."""
    says = told(why.says) if isinstance(why, Refused) else _("This link is not whole, or none of ours.")
    return page("homeowner/link_over.html", sentence=says), 410


def nowhere() -> tuple[str, int]:
    """The page of a record's link or QR that leads nowhere: revoked, or never one of ours.

    Which of the two is not said. Whoever stands before a certificate is told what finds it all the same.
    """
    says = _("It was revoked, or not read whole. The warranty number and the house number find the warranty.")
    return page("homeowner/link_nowhere.html", sentence=says), 404
