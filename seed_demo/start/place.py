"""Where the demo's data lies, and how it gets there whole or not at all.

.demo/lock       held while a start is at work; says which and where
.demo/data/      complete: it got this name only after everything was loaded
.demo/loading-…  a load under way, or one cut short; swept away by the next start
.demo/leaving-…  data on its way out
"""

from __future__ import annotations

import fcntl
import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TextIO

from seed_demo.start.telling import CannotStart


class Place:
    """The folder of the demo, held by one start at a time."""

    def __init__(self, folder: Path, lock: TextIO) -> None:
        self.folder, self._lock = folder, lock

    @property
    def data(self) -> Path:
        """The folder of complete data; it may not be there yet."""
        return self.folder / "data"

    def says(self, what: str) -> None:
        """Leave word for a second start that finds the place taken."""
        self._lock.seek(0)
        self._lock.truncate()
        self._lock.write(what)
        self._lock.flush()

    def clear(self) -> None:
        """Throw the data away. Renamed first, so that half of it never passes for the whole."""
        if self.data.exists():
            self.data.rename(self._new("leaving-"))
        self._sweep()

    def fill(self, load: Callable[[Path], None]) -> None:
        """Have `load` fill an empty folder, and give that its name only when it has come to its end."""
        self._sweep()
        begun = self._new("loading-")
        load(begun)
        begun.rename(self.data)

    def _new(self, prefix: str) -> Path:
        return Path(tempfile.mkdtemp(prefix=prefix, dir=self.folder))

    def _sweep(self) -> None:
        for left in (*self.folder.glob("loading-*"), *self.folder.glob("leaving-*")):
            shutil.rmtree(left)


@contextmanager
def held(folder: Path) -> Iterator[Place]:
    """Hold the demo's folder for as long as the block runs; raises CannotStart where another start does."""
    folder.mkdir(exist_ok=True)
    with (folder / "lock").open("a+") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            lock.seek(0)
            raise CannotStart(f"Another start holds this demo: {lock.read().strip()}.") from None
        place = Place(folder, lock)
        place.says(f"process {os.getpid()} is making it ready")
        yield place
        place.says("")
