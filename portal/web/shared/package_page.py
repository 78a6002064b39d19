"""A package as a page: figures, title block, papers. Both rooms use it, each with its own addresses."""

from __future__ import annotations

from typing import Any

from flask import url_for
from flask_babel import gettext as _

from portal.acts.package_sheet import PackageSheet
from portal.web.security import parts
from portal.web.shared.pages import page, reads


def figures(package: PackageSheet) -> list[dict[str, Any]]:
    """The four figures that lead: lots, feet, concentrate, price of all."""
    shown, gallons = reads(), package.concentrate.gallons if package.concentrate else 0
    counted = [lot for lot in package.lots if lot.counts]
    return [
        {"label": _("Lots"), "value": str(len(counted)), "unit": "", "detail": None},
        {"label": _("Lineal feet"), "value": shown.number(package.feet), "unit": _("ft"), "detail": None},
        {"label": _("Concentrate to bring"), "value": shown.number(gallons), "unit": _("gal"),
         "detail": None},
        {"label": _("Price"), "value": shown.money(package.total, package.currency), "unit": "",
         "detail": None},
    ]  # fmt: skip


def title_rows(package: PackageSheet) -> list[tuple[Any, Any]]:
    """The title block: number, name, builder, who put it together, when."""
    made = package.made_at.astimezone(parts().zone).date()
    return [
        (_("Package"), f"{package.number}, {package.name}"), (_("Builder"), package.company),
        (_("Put together by"), package.by), (_("Lots"), len(package.lots)), (_("Date"), reads().day(made)),
    ]  # fmt: skip


def covers(package: PackageSheet, room: str) -> list[dict[str, str]]:
    """The covers with their addresses, newest first, as the papers macro shows them."""
    return [
        {
            "title": _("Package %(number)s, issue %(issue)s", number=package.number, issue=cover.number),
            "url": url_for(f"{room}.package_paper", package_id=package.id, issue=cover.number),
            "about": f"{_('PDF')}, {reads().day(cover.sent_at.astimezone(parts().zone).date())}",
        }
        for cover in package.covers
    ]


def package_page(template: str, package: PackageSheet, room: str, **more: Any) -> str:
    """Render a package's page. `room` is builder or office."""
    values: dict[str, Any] = {
        "package": package, "viewer": room, "figures": figures(package), "title_rows": title_rows(package),
        "papers": covers(package, room), "money": reads().money,
    }  # fmt: skip
    return page(template, **values | more)
