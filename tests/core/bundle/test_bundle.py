"""Names that are safe wherever a ZIP is unpacked, and a ZIP that any reader opens.

Read back with Python's zipfile, which shares no code with the writing of it but its constants, and with
Info-ZIP's unzip where that is installed; what names may hold is from memory of Windows' own rules.
"""

from __future__ import annotations

import io
import shutil
import subprocess
import zipfile
from datetime import date
from pathlib import Path, PurePosixPath, PureWindowsPath

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.core.bundle.names import Names, safe_name
from portal.core.bundle.zipped import Packed, zipped


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("Lot 7", "Lot 7"), ("Lot 7/8", "Lot 7-8"), ("../../etc/passwd", "etc-passwd"), ("..", "Lot"),
        ("C:\\Windows", "C-Windows"), ("con", "con-"), ("LPT1.txt", "LPT1.txt-"), ("Lot 7. ", "Lot 7"),
        ("  a \t b\n", "a b"), ("", "Lot"), ("~", "Lot"), ("-rf", "rf"), ("Müller’s Bend", "Müller’s Bend"),
        ("Lot\u202e7", "Lot-7"), ("x" * 300, "x" * 80), ("=1+1", "=1+1"),
    ],
)  # fmt: skip
def test_what_was_typed_becomes_a_part_of_a_path(typed: str, name: str) -> None:
    assert safe_name(typed, "Lot") == name


@given(st.text(max_size=300))
def test_no_text_leads_out_of_the_folder_or_into_another(typed: str) -> None:
    name = safe_name(typed, "Lot")

    assert name and PurePosixPath(name).parts == (name,) and PureWindowsPath(name).parts == (name,)
    assert name not in (".", "..") and name == name.strip(" .") and len(name) <= 81
    assert not PureWindowsPath(name).is_reserved()
    name.encode()


def test_names_that_differ_by_case_only_are_told_apart() -> None:
    names = Names()

    handed = [
        names.one(path) for path in ("A/lot.pdf", "a/LOT.pdf", "A/lot.pdf", "Lot 7.5", "A.b/lot", "A.b/lot")
    ]

    assert handed == ["A/lot.pdf", "a/LOT (2).pdf", "A/lot (3).pdf", "Lot 7.5", "A.b/lot", "A.b/lot (2)"]


FILES = [
    Packed("Quarry Bend/Lot 7/quote.pdf", date(2027, 3, 9), b"%PDF" * 999),
    Packed("Müller’s Bend/Lot 8/invoice.pdf", date(1975, 1, 1), b""),
    Packed("index.csv", None, b"file\r\n"),
]


def test_a_zip_is_handed_on_piece_by_piece_and_reads_back_whole(tmp_path: Path) -> None:
    asked: list[str] = []

    def files() -> object:
        for file in FILES:
            asked.append(file.path)
            yield file

    pieces = zipped(files())  # type: ignore[arg-type]
    first = next(pieces)
    assert first and asked == [FILES[0].path]  # the first is out before the second is asked for
    whole = first + b"".join(pieces)

    with zipfile.ZipFile(io.BytesIO(whole)) as archive:
        assert archive.testzip() is None
        assert {info.filename: archive.read(info) for info in archive.infolist()} == {
            file.path: file.content for file in FILES
        }
        days = [info.date_time[:3] for info in archive.infolist()]
        assert days == [(2027, 3, 9), (1980, 1, 1), (1980, 1, 1)]
        assert {info.external_attr >> 16 for info in archive.infolist()} == {0o644}
    assert whole == b"".join(zipped(FILES))  # the same files, the same bytes
    (tmp_path / "papers.zip").write_bytes(whole)
    if shutil.which("unzip"):
        subprocess.run(["unzip", "-tq", tmp_path / "papers.zip"], check=True, capture_output=True)
