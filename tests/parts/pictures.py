"""Photos for tests, made here: plain, or with what must not ride along."""

from __future__ import annotations

import io
import struct
import zlib
from typing import Any

from PIL import Image

#: Where a phone says that it was: 41° 15' N, 95° 55' W, invented for the middle of nowhere in particular.
PLACE = {1: "N", 2: (41.0, 15.0, 0.0), 3: "W", 4: (95.0, 55.0, 0.0)}
SCRIPT = b"<script>alert('from a photo')</script>"
GPS, ORIENTATION, MAKE, COMMENT = 0x8825, 0x0112, 0x010F, 0x9286


def a_photo(
    size: tuple[int, int] = (64, 48), kind: str = "JPEG", color: str = "tan", **options: Any
) -> bytes:
    """A photo of one color."""
    written = io.BytesIO()
    Image.new("RGB", size, color).save(written, kind, **options)
    return written.getvalue()


def with_place(kind: str = "JPEG", orientation: int = 1) -> bytes:
    """A photo that says where and by what it was taken, with a script behind its end and in its words."""
    exif = Image.Exif()
    exif[ORIENTATION], exif[MAKE] = orientation, "Phone of Nobody"
    exif.get_ifd(GPS).update(PLACE)
    exif.get_ifd(0x8769)[COMMENT] = SCRIPT
    more: dict[str, Any] = {"comment": SCRIPT} if kind == "JPEG" else {}
    return a_photo((64, 48), kind, exif=exif, **more) + SCRIPT


def claims(width: int, height: int) -> bytes:
    """A PNG of a few bytes that says it has so many pixels (PNG, W3C: IHDR is width, height, depth, type)."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    body = zlib.compress(b"\0" * 3000)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")
