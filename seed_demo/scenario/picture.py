"""A photo for the demo, drawn: a framed wall with its studs and plates, its siding on outside."""

from __future__ import annotations

import io

from PIL import Image, ImageDraw

SIZE = (960, 720)
STUD, GAP = 26, 120
WOOD, EDGE, SKY, BOARD = "#d8b98a", "#8a6a3e", "#dfe8ee", "#b9b2a4"


def framed_wall() -> bytes:
    """The photo as JPEG."""
    picture = Image.new("RGB", SIZE, SKY)
    draw = ImageDraw.Draw(picture)
    width, height = SIZE
    for course in range(60, height - 60, 44):
        draw.rectangle((0, course, width, course + 40), fill=BOARD, outline=EDGE)
    for left in range(20, width, GAP):
        draw.rectangle((left, 60, left + STUD, height - 60), fill=WOOD, outline=EDGE, width=2)
    for top in (30, 60, height - 90, height - 60):
        draw.rectangle((0, top, width, top + STUD), fill=WOOD, outline=EDGE, width=2)
    written = io.BytesIO()
    picture.save(written, "JPEG", quality=80)
    return written.getvalue()
