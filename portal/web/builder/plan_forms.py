"""A builder's forms about house plans, and the takeoff form without a lot on it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from flask_babel import lazy_gettext as _
from flask_wtf import FlaskForm
from wtforms import HiddenField, StringField

from portal.acts import plans
from portal.web.shared.lot_form import stripped
from portal.web.shared.sheet_form import SheetForm
from portal.web.shared.takeoff_page import UNNAMED, TakeoffPage

NAME_HELP = _("As you call it: The Cobble. A lot is asked for by this name.")
NOTE_HELP = _("For an edition's place in the list: what is different, and why.")


class NewPlanForm(FlaskForm):
    """What stands beside the house of a new plan."""

    name = StringField(_("House plan"), filters=[stripped], description=NAME_HELP)
    note = StringField(_("Remark"), filters=[stripped], description=_("For your own people."))


class NewEditionForm(FlaskForm):
    """What stands beside the house of a plan's next edition."""

    note = StringField(_("What is different"), filters=[stripped], description=NOTE_HELP)


@dataclass(slots=True)
class PlanPage(TakeoffPage):
    """The takeoff form with a new plan's name instead of a lot."""

    beside: ClassVar[type[FlaskForm]] = NewPlanForm

    def check_to_send(self) -> None:
        """Whether the plan can be called so. Raises `BadInput`."""
        plans.check_texts(self.lot.name.data, self.lot.note.data)


@dataclass(slots=True)
class EditionPage(TakeoffPage):
    """The takeoff form with a remark instead of a lot: the plan is called so already."""

    beside: ClassVar[type[FlaskForm]] = NewEditionForm

    def document(self) -> dict[str, Any]:
        """The house document; the plan's name is put on it when it is kept."""
        return self.house.document(UNNAMED)

    def check_to_send(self) -> None:
        """Whether the remark can be kept. Raises `BadInput`."""
        plans.check_texts("-", self.lot.note.data)


class CopyForm(SheetForm):
    """Keep a copy of the edition that is shown under a name of its own."""

    name = "copy"
    elsewhere: ClassVar[dict[str, str]] = {"name": "called"}
    edition = HiddenField()
    called = StringField(_("Name of the copy"), filters=[stripped])


class RenameForm(SheetForm):
    """Give the plan another name."""

    name = "rename"
    elsewhere: ClassVar[dict[str, str]] = {"name": "called"}
    called = StringField(_("New name"), filters=[stripped])


class RetireForm(SheetForm):
    """Offer the plan no more."""

    name = "retire"


class BringBackForm(SheetForm):
    """Offer the plan again."""

    name = "bring-back"


class KeepPlanForm(SheetForm):
    """Keep a lot's takeoff as a house plan."""

    name = "keep-plan"
    elsewhere: ClassVar[dict[str, str]] = {"name": "called"}
    called = StringField(_("Name of the house plan"), filters=[stripped], description=NAME_HELP)
