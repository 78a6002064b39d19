"""Bytes of a file somebody sent, as text: or what kind of file it is instead, and what to send."""

from __future__ import annotations

import re

from portal.core.errors import BadInput, Problem
from portal.core.words import Said, say

LARGEST_BYTES = 2_000_000
#: Where what is wrong with the file as a whole is told: at its field.
WHOLE = "file"

# How files of other kinds begin, by their own published signatures. A zip is what sheets are kept in today.
_SPREADSHEET = (b"PK\x03\x04", b"PK\x05\x06", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1")
_PICTURES = (b"%PDF-", b"\x89PNG", b"\xff\xd8\xff", b"GIF8")
_NO_TEXT = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")


def text_of(data: bytes) -> tuple[str, str]:
    """The text, and the name of its encoding. Raises `BadInput`."""
    if len(data) > LARGEST_BYTES:
        raise _refused(say("This is larger than {limit} MB. Send it in parts.", limit=LARGEST_BYTES // 10**6))
    if data.startswith(_SPREADSHEET):
        raise _refused(say(
            "This is a spreadsheet's own file. Save the sheet as CSV and send that, or copy its rows and "
            "paste them."
        ))  # fmt: skip
    if data.startswith(_PICTURES):
        raise _refused(say("This is a picture or a PDF, not a sheet. Save the sheet as CSV and send that."))
    text, encoding = _decoded(data)
    if not text.strip():
        raise _refused(say("There is nothing in it. Send a CSV file, or paste rows from a sheet."))
    strange = _NO_TEXT.search(text)
    if strange:
        line = len(re.findall(r"\r\n|\r|\n", text[: strange.start()])) + 1
        raise _refused(
            say("Line {line} has a character that is no text. Save the sheet as CSV anew.", line=line)
        )
    return text, encoding


def _decoded(data: bytes) -> tuple[str, str]:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        try:
            return data.decode("utf-16"), "UTF-16"
        except UnicodeDecodeError:
            raise _refused(_UNREADABLE) from None
    try:
        return data.decode("utf-8-sig"), "UTF-8"
    except UnicodeDecodeError:
        pass
    try:
        # Five of its bytes stand for nothing: a file with one of them is in neither.
        return data.decode("cp1252"), "Windows-1252"
    except UnicodeDecodeError:
        raise _refused(_UNREADABLE) from None


_UNREADABLE = say("This is no text that can be read. Save the sheet as CSV (UTF-8) and send that.")


def _refused(says: Said) -> BadInput:
    return BadInput([Problem(WHOLE, says)])
