"""What a treatment record would lack as the settings stand: told before it is booked and on site.

Nothing is made up in its place. Each gap names the setting, and the key of the page where it is entered.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from portal.core.words import Said, say


@dataclass(frozen=True, slots=True)
class Gap:
    """One thing that is missing. `where`: firm, product, technician or builder."""

    where: str
    says: Said


#: By the page it is entered on: the setting, and what is said where it is empty.
ASKED: Mapping[str, Mapping[str, Said]] = {
    "firm": {
        "license": say("The firm’s license number is missing."),
        "phone": say("The firm’s phone number is missing."),
        "address": say("The firm’s address is missing."),
    },
    "product": {
        "registration": say("The product’s EPA registration number is missing."),
        "classification": say("The product’s classification is missing."),
        "active_ingredient": say("The product’s active ingredient is missing."),
    },
    "technician": {"certificate": say("{name} has no certificate number.", name="")},
    "builder": {"address": say("The address of {name} is missing.", name="")},
}


def gaps(known: Mapping[str, Mapping[str, object]]) -> tuple[Gap, ...]:
    """What is missing among what is known, by page; pages that are left out are not asked about."""
    return tuple(
        Gap(where, _named(says, known[where]))
        for where, asked in ASKED.items()
        if where in known
        for at, says in asked.items()
        if not known[where].get(at)
    )


def _named(says: Said, known: Mapping[str, object]) -> Said:
    return Said(says.template, {"name": known["name"]}) if says.values else says
