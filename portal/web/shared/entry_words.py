"""What the fields of a stop's entry are called, where somebody else than the technician reads of them."""

from __future__ import annotations

from typing import Any

from flask_babel import gettext
from flask_babel import lazy_gettext as _

from portal.acts.on_site import EntryView
from portal.core.treatment.evidence import READY, RESPIRATOR
from portal.web.shared.pages import told
from portal.web.shared.rows import upper_first

NAMES: dict[str, Any] = {
    "arrived": _("Arrived"), "day": _("Day of the treatment"),
    "cautions": _("Cautions acknowledged"), "rinsed": _("Containers rinsed three times"),
    "check_pass": _("Check pass"), "found": _("Siding as found"),
    "first.start": _("First coat starts"), "first.end": _("First coat ends"),
    "second.start": _("Second coat starts"), "second.end": _("Second coat ends"),
    "interior.start": _("Interior starts"), "interior.end": _("Interior ends"),
    "product": _("Product"), "registration": _("EPA registration number"),
    "container_lot": _("Lot number on the container"), "concentrate": _("Concentrate"),
    "water": _("Water"), "dye": _("Dye"), "left_over": _("Mix left over"),
    "conditions": _("Conditions"), "problems": _("Problems"),
    "method": _("Method"), "applicator": _("Applicator"),
    "supervisor": _("Supervisor"), "certificate": _("Certificate number"),
    "signed_by": _("Signature"), "mixed": _("Batch mixed"), "words": _("What a photo shows"),
}  # fmt: skip


def field_name(entry: EntryView) -> str:
    """First coat ends, North side, Main floor."""
    kind, _, rest = entry.field.partition(".")
    if kind == "ready":
        return told((READY | {"respirator": RESPIRATOR}).get(rest, RESPIRATOR))
    edge = rest.rpartition(".")[2]
    name = str(NAMES.get(f"{kind}.{edge}") or NAMES.get(kind, kind))
    if entry.wall:
        label, story = entry.wall
        wall = upper_first(label)
        return str(gettext("%(field)s: %(wall)s, %(story)s", field=name, wall=wall, story=story))
    return f"{name} {rest}" if kind == "mixed" else name
