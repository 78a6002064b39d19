"""Every text goes through the catalog, and the catalog's template knows every text."""

from __future__ import annotations

from portal.commands import catalog


def test_the_catalog_knows_every_text_of_the_house() -> None:
    """Forgotten after a change? Run: python3 -m portal catalog"""
    assert catalog.TEMPLATE.read_bytes() == catalog.template()
