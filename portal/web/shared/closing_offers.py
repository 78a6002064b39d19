"""*Close it for me*: the one change that closes a walk, as a button that says exactly what it does."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from flask_babel import gettext as _

from portal.core.takeoff.closing import Closing, closings
from portal.core.takeoff.turns import written
from portal.drawing import feet_inches
from portal.web.shared.house_presses import close_button
from portal.web.shared.typed_plan import walked


@dataclass(frozen=True, slots=True)
class Offer:
    """What a button does, in words, and its value."""

    words: str
    press: str


def offers(outline: dict[str, Any], level: int) -> tuple[Offer, ...]:
    """What closes the walk of a level; nothing where a wall cannot be read or no one change does it."""
    if outline["by"] != "walk":
        return ()
    walls = walked(outline["walls"])
    if len(walls) < len(outline["walls"]):
        return ()
    return tuple(Offer(_words(one, len(walls)), close_button(level, one)) for one in closings(walls))


def _words(closing: Closing, walls: int) -> str:
    length = feet_inches(closing.length)
    if closing.heading is None:
        return str(_("Make wall %(number)s %(length)s long", number=closing.at + 1, length=length))
    heading = written(closing.heading)
    if closing.at == walls:
        return str(_("Add the last wall: %(heading)s, %(length)s", heading=heading, length=length))
    put_in = _("Put in a wall after wall %(number)s: %(heading)s, %(length)s",
               number=closing.at, heading=heading, length=length)  # fmt: skip
    return str(put_in)
