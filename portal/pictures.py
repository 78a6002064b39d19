"""Photos as they come from a phone, made into pictures that carry nothing but what is to be seen.

What a file is, is read from its bytes and from nothing it calls itself. It is decoded and encoded anew, so
that no place, no name of a phone, no bytes behind the end and no script rides along.
"""

from __future__ import annotations

import io
import warnings
from dataclasses import dataclass

from PIL import Image, ImageFile, ImageOps

from portal.core.errors import BadInput, Problem
from portal.core.words import say

#: What a phone sends at most, in bytes.
LARGEST = 10 * 1024 * 1024
#: Pixels that are decoded at most: 48 million are a phone's most that is usual. A small file can say more.
MOST_PIXELS = 50_000_000
LONGEST_SIDE = 1600
SMALL_SIDE = 320
FORMATS = ("JPEG", "PNG", "WEBP")


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture as JPEG, whole and small."""

    whole: bytes
    small: bytes
    width: int
    height: int


def read_picture(content: bytes, at: str = "photo") -> Picture:
    """The picture in a file. Raises `BadInput` where there is none that can be shown."""
    if len(content) > LARGEST:
        raise _bad(at, "This photo is {size} MiB. At most {most} MiB can be taken; take it smaller.",
                   size=f"{len(content) / 1024 / 1024:.1f}", most=LARGEST // 1024 // 1024)  # fmt: skip
    try:
        with warnings.catch_warnings():
            # A file of many pixels is refused below, by our own limit and in words.
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            return _read(content, at)
    except BadInput:
        raise
    except Image.DecompressionBombError:
        raise _too_many(at) from None
    except Exception as error:  # Pillow's readers raise many kinds, each for a file that is no picture
        raise _bad(at, "This is no photo that can be read. Send a photo as JPEG, PNG or WebP.") from error


def _bad(at: str, template: str, **values: object) -> BadInput:
    return BadInput([Problem(at, say(template, **values))])


def _too_many(at: str) -> BadInput:
    return _bad(at, "This photo has more pixels than can be taken. Take it smaller.")


def _read(content: bytes, at: str) -> Picture:
    # The maker of papers, once imported, has Pillow take files that were cut; half a wall is no evidence.
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    with Image.open(io.BytesIO(content), formats=FORMATS) as opened:
        width, height = opened.size
        if width * height > MOST_PIXELS:
            raise _too_many(at)
        opened.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))
        opened.load()
        upright = ImageOps.exif_transpose(opened)
    if upright.mode in ("RGBA", "LA", "PA") or "transparency" in upright.info:
        ground = Image.new("RGBA", upright.size, "white")
        upright = Image.alpha_composite(ground, upright.convert("RGBA"))
    bare = upright.convert("RGB")
    bare.thumbnail((LONGEST_SIDE, LONGEST_SIDE), Image.Resampling.LANCZOS)
    small = bare.copy()
    small.thumbnail((SMALL_SIDE, SMALL_SIDE), Image.Resampling.LANCZOS)
    return Picture(_jpeg(bare, 85), _jpeg(small, 80), *bare.size)


def _jpeg(picture: Image.Image, quality: int) -> bytes:
    # A new picture of the same pixels: what a file said besides them is left behind.
    clean = Image.new("RGB", picture.size)
    clean.paste(picture)
    written = io.BytesIO()
    clean.save(written, "JPEG", quality=quality, optimize=True)
    return written.getvalue()
