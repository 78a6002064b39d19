"""What a photo is made into: a picture, and nothing that rode along.

Exif's tags are those of its standard (CIPA DC-008, Exif 2.32: GPS at 0x8825, orientation at 0x0112). What a
file is, is told by its first bytes: JPEG FF D8 FF, PNG 89 50 4E 47, WebP RIFF....WEBP (WHATWG, MIME
Sniffing).
"""

from __future__ import annotations

import io
import os

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageFile

from portal.core.errors import BadInput
from portal.pictures import LARGEST, LONGEST_SIDE, SMALL_SIDE, Picture, read_picture
from tests.parts.pictures import SCRIPT, a_photo, claims, with_place


def opened(content: bytes) -> Image.Image:
    return Image.open(io.BytesIO(content))


def refusal(content: bytes) -> str:
    with pytest.raises(BadInput) as refused:
        read_picture(content, "photo.1.1.N")
    (problem,) = refused.value.problems
    assert problem.at == "photo.1.1.N"
    return str(problem.says)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_no_place_no_phone_no_script_and_nothing_behind_the_end_is_left(kind: str) -> None:
    sent = with_place(kind)
    assert b"Phone of Nobody" in sent and sent.endswith(SCRIPT)

    found = read_picture(sent)

    for content in (found.whole, found.small):
        picture = opened(content)
        assert picture.format == "JPEG" and not picture.getexif() and "comment" not in picture.info
        assert content.startswith(b"\xff\xd8\xff") and content.endswith(b"\xff\xd9")
        assert b"script" not in content and b"Phone" not in content and b"Exif" not in content


@pytest.mark.parametrize("orientation", [6, 8])
def test_a_photo_that_was_held_upright_stands_upright(orientation: int) -> None:
    found = read_picture(with_place("JPEG", orientation))

    assert (found.width, found.height) == (48, 64) == opened(found.whole).size


@pytest.mark.parametrize(
    ("size", "kept"),
    [((64, 48), (64, 48)), ((3200, 2400), (1600, 1200)), ((1200, 4800), (400, 1600)), ((1, 1), (1, 1))],
)
def test_the_longest_side_is_1600_pixels_at_most(size: tuple[int, int], kept: tuple[int, int]) -> None:
    found = read_picture(a_photo(size))

    assert (found.width, found.height) == kept == opened(found.whole).size
    assert max(opened(found.small).size) <= SMALL_SIDE and LONGEST_SIDE == 1600


def test_what_is_seen_through_stands_on_white() -> None:
    written = io.BytesIO()
    Image.new("RGBA", (8, 8), (255, 0, 0, 0)).save(written, "PNG")

    assert opened(read_picture(written.getvalue()).whole).getpixel((4, 4)) == (255, 255, 255)


@pytest.mark.parametrize(
    "content",
    [
        b"", b"\xff\xd8\xff", SCRIPT, b"<svg xmlns='http://www.w3.org/2000/svg'/>", b"%PDF-1.7\n",
        b"GIF89a" + b"\0" * 40, a_photo(kind="GIF"), a_photo(kind="TIFF"), a_photo(kind="BMP"),
        a_photo()[:300], a_photo(kind="PNG")[:60],
    ],
    ids=["nothing", "three bytes", "script", "svg", "pdf", "gif head", "gif", "tiff", "bmp", "cut jpeg",
         "cut png"],
)  # fmt: skip
def test_what_is_no_photo_is_told_so_whatever_it_is_called(
    content: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)  # as the maker of papers leaves it
    assert refusal(content) == "This is no photo that can be read. Send a photo as JPEG, PNG or WebP."


def test_more_than_ten_mebibytes_are_told_as_too_much() -> None:
    assert refusal(b"\xff" * (LARGEST + 1)) == (
        "This photo is 10.0 MiB. At most 10 MiB can be taken; take it smaller."
    )


@pytest.mark.parametrize("side", [7_072, 60_000])
def test_a_small_file_that_says_it_is_enormous_is_not_unpacked(side: int) -> None:
    assert refusal(claims(side, side)) == "This photo has more pixels than can be taken. Take it smaller."


def test_a_photo_of_noise_keeps_within_what_a_page_can_carry() -> None:
    noise = Image.frombytes("RGB", (2000, 1500), os.urandom(2000 * 1500 * 3))
    written = io.BytesIO()
    noise.save(written, "JPEG", quality=95)

    assert len(read_picture(written.getvalue()).whole) < 2 * 1024 * 1024


@given(
    st.binary(max_size=400),
    st.sampled_from([b"", b"\xff\xd8\xff\xe0", b"\x89PNG\r\n\x1a\n", b"RIFF\0\0\0\0WEBP"]),
)
def test_no_bytes_break_it(tail: bytes, head: bytes) -> None:
    try:
        found: Picture | None = read_picture(head + tail)
    except BadInput:
        found = None  # which is what most bytes are; anything else that is raised is a fault

    assert found is None or found.whole.startswith(b"\xff\xd8\xff")
