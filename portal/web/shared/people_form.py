"""What somebody of a builder's may do, as a form: on the company's own pages and on the office's."""

from __future__ import annotations

from collections.abc import Collection
from typing import ClassVar, Self

from flask_babel import lazy_gettext as _
from wtforms import BooleanField, HiddenField

from portal.acts.parts import RIGHTS
from portal.web.shared.sheet_form import SheetForm

ACCEPT = _("May answer quotes"), _("Accepts and declines, and has a purchaser answer through a mailed link.")
MONEY = _("Sees money"), _("Invoices, what is paid and what is owed.")
PEOPLE = _("Changes people"), _("Invites and removes people, changes their rights and the company’s address.")


class RightsFields(SheetForm):
    """The three rights; a problem with them stands beside the first."""

    elsewhere: ClassVar[dict[str, str]] = {"rights": "accept"}
    accept = BooleanField(ACCEPT[0], description=ACCEPT[1])
    money = BooleanField(MONEY[0], description=MONEY[1])
    people = BooleanField(PEOPLE[0], description=PEOPLE[1])

    @property
    def rights(self) -> tuple[str, ...]:
        """The rights that are ticked."""
        return tuple(right for right in RIGHTS if self[right].data)


class RightsForm(RightsFields):
    """The rights of one person, with those they were shown with."""

    name = "rights"
    had = HiddenField()

    @classmethod
    def of(cls, rights: Collection[str]) -> Self:
        """The form of somebody who has these."""
        return cls.blank(had=" ".join(sorted(rights)), **dict.fromkeys(rights, True))

    @property
    def seen_rights(self) -> tuple[str, ...]:
        """The rights that the form was shown with."""
        return tuple((self.had.data or "").split())
