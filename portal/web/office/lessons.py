"""What finished jobs teach: drawn plainly, and made into a new edition by an owner's press."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from flask import flash, redirect, request, url_for
from flask_babel import gettext as _
from markupsafe import Markup
from werkzeug.wrappers import Response

from portal.acts import learning
from portal.core.money.amount import rounded
from portal.core.treatment.lessons import Lesson, Spread
from portal.drawing.spread import Places, spread_svg
from portal.web.office.edition_fields import FIELDS, KINDS
from portal.web.security import parts, who
from portal.web.shared.pages import fresh_once_key, page, reads

#: Of each figure: which of a lesson it is, how many decimals, and the value that would be as expected.
FIGURES = (
    ("concentrate", 2, 1.0), ("minutes", 2, 1.0), ("feet_per_gallon", 1, None), ("second_share", 2, None),
    ("interior", 3, None),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Drawn:
    """One line of a figure's table: whose jobs, how many, the spread in words and drawn."""

    who: str
    jobs: int
    least: str
    middle: str
    median: str
    most: str
    svg: Markup


def lessons() -> str:
    """Every product with its jobs."""
    found = learning.look(parts(), who())
    by_product: dict[str, list[Lesson]] = {}
    for one in found.lessons:
        by_product.setdefault(one.product, []).append(one)
    shown = [(name, _figures(n, rows)) for n, (name, rows) in enumerate(by_product.items())]
    labels = {entry.at: entry for kind in learning.KINDS for entry in FIELDS[kind]}
    return page(
        "office/lessons.html", found=found, shown=shown, labels=labels, kinds=KINDS, owner=who().owner,
        words=_words(), once=fresh_once_key(),
    )  # fmt: skip


def learn(kind: str) -> Response:
    """Make the edition that was shown."""
    typed = request.form.get("mark", ""), request.form.get("once_key", "")
    number = learning.learn(parts(), who(), kind, *typed)
    flash(_("%(kind)s, edition %(number)s is entered.", kind=KINDS[kind], number=number))
    return redirect(url_for("office.rate_book"), 303)


def _words() -> dict[str, tuple[str, str]]:
    return {
        "concentrate": (_("Concentrate, used to estimated"),
                        _("1 is as estimated; the dashed line marks it. Jobs found as quoted.")),
        "minutes": (_("Minutes on site, taken to estimated"),
                    _("1 is as estimated; the dashed line marks it. Jobs found as quoted.")),
        "feet_per_gallon": (_("Lineal feet that a gallon of concentrate treated"),
                            _("A foot of second coat counts as the share it was reckoned by.")),
        "second_share": (_("Second coat, as a share of a first"),
                         _("Told from jobs with a second coat, against those without one.")),
        "interior": (_("Interior feet to a square foot of floor"),
                     _("Houses with measured interior walls. No figure of the rate book is made of it.")),
    }  # fmt: skip


def _figures(index: int, rows: list[Lesson]) -> list[tuple[str, list[Drawn]]]:
    """The figures of one product that any job says something about, all technicians first."""
    shown = []
    for name, places, expected in FIGURES:
        known = [(row, found) for row in rows if (found := getattr(row, name)) is not None]
        if known:
            ends = [float(value) for _row, s in known for value in (s.least, s.most)]
            scale = (min([*ends, expected or ends[0]]), max([*ends, expected or ends[0]]))
            drawn = [
                _drawn(row, found, places, expected, scale, f"spread-{index}-{name}-{n}")
                for n, (row, found) in enumerate(known)
            ]
            shown.append((name, drawn))
    return shown


def _drawn(
    row: Lesson, found: Spread, places: int, expected: float | None, scale: tuple[float, float], ident: str
) -> Drawn:
    def told(value: Fraction) -> str:
        return reads().fixed(rounded(value, places), places)

    whose = row.technician or _("all technicians")
    least, lower, median, upper, most = map(
        told, (found.least, found.lower, found.median, found.upper, found.most)
    )
    title = _("Spread of %(who)s", who=whose)
    desc = _(
        "From %(least)s to %(most)s, half of the jobs between %(lower)s and %(upper)s, median %(median)s.",
        least=least, most=most, lower=lower, upper=upper, median=median,
    )  # fmt: skip
    at = Places(
        float(found.least), float(found.lower), float(found.median), float(found.upper), float(found.most),
        expected,
    )  # fmt: skip
    svg = spread_svg(at, *scale, title=title, desc=desc, ident=ident)
    middle = _("%(lower)s to %(upper)s", lower=lower, upper=upper)
    return Drawn(whose, found.jobs, least, middle, median, most, Markup(svg))
