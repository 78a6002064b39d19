"""A ZIP that is handed on piece by piece, as each file comes to be: no whole one is ever held."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import IO, cast
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

#: The first day that a ZIP can say; an earlier one, or none, is told as this.
FIRST_DAY = date(1980, 1, 1)


@dataclass(frozen=True, slots=True)
class Packed:
    """A file: where it lies in the ZIP, its day, its bytes."""

    path: str
    day: date | None
    content: bytes


class _Outlet:
    """Takes what is written and gives it out. It cannot be wound back; the ZIP can do without."""

    def __init__(self) -> None:
        self._pieces: list[bytes] = []

    def write(self, piece: bytes) -> int:
        """Take a piece."""
        self._pieces.append(bytes(piece))
        return len(piece)

    def flush(self) -> None:
        """Nothing is held back."""

    def take(self) -> bytes:
        """What was written since the last time."""
        taken, self._pieces = b"".join(self._pieces), []
        return taken


def zipped(files: Iterable[Packed]) -> Iterator[bytes]:
    """The ZIP of these files, a piece for each and one at the end; the same files give the same bytes."""
    outlet = _Outlet()
    with ZipFile(cast(IO[bytes], outlet), "w") as archive:
        for file in files:
            day = max(file.day or FIRST_DAY, FIRST_DAY)
            info = ZipInfo(file.path, (day.year, day.month, day.day, 0, 0, 0))
            info.compress_type, info.external_attr, info.create_system = ZIP_DEFLATED, 0o644 << 16, 3
            archive.writestr(info, file.content)
            yield outlet.take()
    yield outlet.take()
