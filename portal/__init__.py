"""Sillbook: quotes, treatment records, invoices and warranties for borate treatment of new framing."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from flask import Flask

    from portal.acts.parts import Parts
    from portal.settings import Settings


def create_app(settings: Settings, parts: Parts) -> Flask:
    """The web portal: pages, filters, error answers. Imported late, because the command line needs no web."""
    from portal.web.app import make_app

    return make_app(settings, parts)
