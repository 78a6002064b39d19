"""Names of files in a ZIP, safe wherever it is unpacked, and no two alike.

A name is made of what people typed. What a file system or a shell could take for something else is
replaced; Windows' reserved names are from Microsoft, Naming Files, Paths, and Namespaces (from memory).
"""

from __future__ import annotations

import re
import unicodedata

LONGEST = 80
# Separators, what Windows forbids, controls, what cannot be seen, and what turns the direction of writing.
_ODD = re.compile(
    r'[/\\:*?"<>|\x00-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ud800-\udfff]+'
)
_RESERVED = re.compile(r"(?i)(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³])(\..*)?")


def safe_name(typed: str, otherwise: str) -> str:
    """One part of a path; `otherwise` where nothing of what was typed can stand."""
    name = _ODD.sub("-", " ".join(unicodedata.normalize("NFC", typed).split()))
    # A leading dash or tilde could be taken for an option or a home by what unpacks it.
    name = name.lstrip(" .-~")[:LONGEST].rstrip(" .")
    return f"{name}-" if _RESERVED.fullmatch(name) else name or otherwise


class Names:
    """Hands out each name once, whatever its case: the second gets a number."""

    def __init__(self) -> None:
        self._taken: set[str] = set()

    def one(self, path: str) -> str:
        """This path, or the next that is free."""
        stem, dot, ending = path.rpartition(".") if "." in path.rpartition("/")[2] else (path, "", "")
        free, count = path, 1
        while free.casefold() in self._taken:
            count += 1
            free = f"{stem} ({count}){dot}{ending}"
        self._taken.add(free.casefold())
        return free
