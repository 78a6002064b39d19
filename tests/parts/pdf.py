"""Reading a PDF back: what it says, how it is tagged, and how it looks."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from typing import Any

import pypdfium2
import zxingcpp
from pypdf import PdfReader
from pypdf.generic import ArrayObject, DictionaryObject

POINTS_IN_AN_INCH = 72


def opened(content: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(content))


def text_of(content: bytes) -> str:
    """All text, with single spaces."""
    return " ".join(" ".join(page.extract_text() for page in opened(content).pages).split())


def bare(text: str) -> str:
    """A text without any space, because a PDF's spaces are a matter of opinion."""
    return re.sub(r"\s+", "", text)


def elements(content: bytes) -> Iterator[DictionaryObject]:
    """Every element of the structure tree."""
    waiting: list[Any] = [opened(content).root_object["/StructTreeRoot"]]
    while waiting:
        one = waiting.pop()
        one = one.get_object() if hasattr(one, "get_object") else one
        if isinstance(one, ArrayObject):
            waiting.extend(one)
        elif isinstance(one, DictionaryObject):
            if "/S" in one:
                yield one
            waiting.append(one.get("/K", ArrayObject()))


def codes_in(content: bytes, page: int = 0) -> list[str]:
    """The texts of the QR codes that a decoder sees on a page's picture."""
    picture = pypdfium2.PdfDocument(content)[page].render(scale=3).to_pil()
    # QR alone: of all kinds, a stripe of a drawing's hatching now and then passes for a linear one.
    return [found.text for found in zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)]


def letters_outside(content: bytes, margin: float) -> list[str]:
    """The letters that stand nearer than `margin` inches to an edge of their page."""
    found = []
    for page in pypdfium2.PdfDocument(content):
        wide, high = page.get_size()
        text = page.get_textpage()
        near = margin * POINTS_IN_AN_INCH
        for index in range(text.count_chars()):
            letter = text.get_text_range(index, 1)
            left, bottom, right, top = text.get_charbox(index)
            inside = left >= near and bottom >= near and right <= wide - near and top <= high - near
            if letter.strip() and not inside:
                found.append(letter)
    return found
