"""The band of an estimate on a page: its feet to scale, and what each would cost."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask_babel import gettext as _
from markupsafe import Markup

from portal.drawing import band_svg, marks_of
from portal.web.shared.pages import reads
from portal.web.shared.sketch import NARROW, WIDE


def drawn(answer: Mapping[str, Any], offered: bool = False) -> dict[str, Markup]:
    """The band of an engine's answer, `wide` and `narrow`; nothing where all was measured.

    Under an offer stands no price but the one that is offered, so the drawing has none either.
    """
    if answer["basis"] != "estimated":
        return {}
    currency = answer["price"]["currency"]
    marks = marks_of(
        answer,
        lambda feet: str(_("%(feet)s ft", feet=reads().number(feet))),
        None if offered else lambda price: reads().money(price, currency),
    )
    desc = _("A line of feet to scale, from nothing to the most. The band is hatched; the middle is a point.")
    return {
        name: Markup(
            band_svg(*marks, title=_("Band of the estimate"), desc=desc, width=width, ident=f"band-{name}")
        )
        for name, width in (("wide", WIDE), ("narrow", NARROW))
    }
