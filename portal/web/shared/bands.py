"""The band of an estimate on a page: its feet to scale, and what each would cost."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask_babel import gettext as _
from markupsafe import Markup

from portal.drawing import Mark, band_svg
from portal.web.shared.pages import reads
from portal.web.shared.sketch import NARROW, WIDE


def drawn(answer: Mapping[str, Any], offered: bool = False) -> dict[str, Markup]:
    """The band of an engine's answer, `wide` and `narrow`; nothing where all was measured.

    Under an offer stands no price but the one that is offered, so the drawing has none either.
    """
    if answer["basis"] != "estimated":
        return {}
    feet, price = answer["feet"], answer["price"]
    prices = ("", "", "") if offered else (answer["price_low"], price["total"], answer["price_high"])
    marks = [
        Mark(
            float(feet[at]),
            _("%(feet)s ft", feet=reads().number(feet[at])),
            reads().money(cost, price["currency"]),
        )
        for at, cost in zip(("low", "total", "high"), prices, strict=True)
    ]
    desc = _("A line of feet to scale, from nothing to the most. The band is hatched; the middle is a point.")
    return {
        name: Markup(
            band_svg(*marks, title=_("Band of the estimate"), desc=desc, width=width, ident=f"band-{name}")
        )
        for name, width in (("wide", WIDE), ("narrow", NARROW))
    }
