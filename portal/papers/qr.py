"""A QR code as a drawing (ISO/IEC 18004), by segno."""

from __future__ import annotations

import io

import segno
from markupsafe import Markup


def qr_svg(text: str, title: str) -> Markup:
    """The code of `text` at level M, with its quiet zone; `title` is read out in its place."""
    drawn = io.BytesIO()
    segno.make_qr(text, error="m", boost_error=False).save(
        drawn, kind="svg", xmldecl=False, omitsize=True, title=title, svgclass="qr", lineclass=None, nl=False
    )
    return Markup(drawn.getvalue().decode())
