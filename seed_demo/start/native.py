"""What no Python package can bring: the native text library that draws papers, and a browser."""

from __future__ import annotations

import ctypes
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

from seed_demo.start.telling import CannotStart, tell

# The names WeasyPrint tries for each library it cannot do without: Linux, then macOS.
TEXT_LIBRARIES = (
    ("libgobject-2.0.so.0", "libgobject-2.0.0.dylib"),
    ("libpango-1.0.so.0", "libpango-1.0.dylib"),
    ("libharfbuzz.so.0", "libharfbuzz.0.dylib"),
    ("libharfbuzz-subset.so.0", "libharfbuzz-subset.0.dylib"),
    ("libfontconfig.so.1", "libfontconfig.1.dylib"),
    ("libpangoft2-1.0.so.0", "libpangoft2-1.0.dylib"),
)
TEXT_PACKAGES = ("libpango-1.0-0", "libpangoft2-1.0-0", "libharfbuzz-subset0")

BROWSER_NAMES = ("chromium", "chromium-browser", "google-chrome-stable", "google-chrome", "chrome")
BROWSER_PLACES = (
    "/usr/bin/chromium",
    "/usr/lib/chromium/chromium",
    "/snap/bin/chromium",
    "/opt/google/chrome/chrome",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
)


def need_text_library() -> None:
    """See that papers can be drawn; install where we may, else raise CannotStart with what to type."""
    _need("the text library that draws the papers", text_library_works, TEXT_PACKAGES, brew="pango")


def need_browser() -> Path:
    """The browser the tests drive: found, else installed where we may, else CannotStart."""
    what = "Chromium, which the tests drive"
    _need(what, lambda: find_browser() is not None, ("chromium",), brew="--cask chromium")
    found = find_browser()
    assert found is not None
    return found


def text_library_works() -> bool:
    """Whether every native library that WeasyPrint opens can be opened here."""
    return all(any(_opens(name) for name in names) for names in TEXT_LIBRARIES)


def find_browser() -> Path | None:
    """Chromium or its kin: the one SILLBOOK_CHROMIUM names, else on PATH, else where it usually is."""
    named = os.environ.get("SILLBOOK_CHROMIUM")
    if named:
        if not os.access(named, os.X_OK):
            raise CannotStart(f"SILLBOOK_CHROMIUM names {named}, which is not a program that can be run.")
        return Path(named)
    on_path = (shutil.which(name) for name in BROWSER_NAMES)
    usual = (place for place in BROWSER_PLACES if os.access(place, os.X_OK))
    first = next((place for place in (*on_path, *usual) if place), None)
    return Path(first) if first else None


def _opens(name: str) -> bool:
    try:
        ctypes.CDLL(name)
    except OSError:
        return False
    return True


def _need(what: str, is_there: Callable[[], bool], packages: tuple[str, ...], brew: str) -> None:
    if is_there():
        return
    line = f"apt-get install -y --no-install-recommends {' '.join(packages)}"
    if shutil.which("apt-get") and os.geteuid() == 0:
        tell(f"Installing {what}, which may take a minute: {line}")
        _apt(line.split())
        if is_there():
            return
        raise CannotStart(f"Missing still: {what}. Type this and look what it says: {line}")
    raise CannotStart(f"Missing: {what}. Type this, then start again: {_line_to_type(line, brew)}")


def _line_to_type(apt: str, brew: str) -> str:
    if shutil.which("apt-get"):
        return f"sudo {apt}"
    if sys.platform == "darwin":
        return f"brew install {brew}"
    return f"{apt}   (or the same by your system's own package manager)"


def _apt(command: list[str]) -> None:
    """Install; where that fails, which a machine with old or no lists does, fetch the lists and try again."""
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for before in ([], ["apt-get", "update"]):
        if before:
            tell("  fetching the package lists first")
            subprocess.run(before, env=quiet, capture_output=True)
        if subprocess.run(command, env=quiet, capture_output=True).returncode == 0:
            return
