"""`python3 -m portal catalog`: collect every text that people read into the catalog's template."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TEMPLATE = ROOT / "portal" / "locale" / "messages.pot"

METHODS = [
    ("portal/**.py", "python"),
    ("templates/**.html", "jinja2.ext:babel_extract"),
    ("templates/**.txt", "jinja2.ext:babel_extract"),
]
OPTIONS = {
    name: {"extensions": "jinja2.ext.i18n", "trimmed": "true"}
    for name, method in METHODS
    if method != "python"
}
#: `say` and `refuse` make the core's sentences; the others are Babel's own and Flask-Babel's.
KEYWORDS = {"say": None, "refuse": None, "_": None, "gettext": None, "lazy_gettext": None, "ngettext": (1, 2)}


def template() -> bytes:
    """The catalog's template as it should be. The same texts give the same bytes, so it carries no date."""
    from babel.messages.catalog import Catalog
    from babel.messages.extract import extract_from_dir
    from babel.messages.pofile import write_po

    made = datetime(2000, 1, 1, tzinfo=UTC)
    catalog = Catalog(project="Sillbook", version="1", creation_date=made, charset="utf-8", fuzzy=False,
                      header_comment="# Every text of Sillbook that people read.")  # fmt: skip
    found = extract_from_dir(ROOT, METHODS, OPTIONS, KEYWORDS, comment_tags=("Translators:",))
    for file, _line, message, comments, context in sorted(found, key=lambda one: (one[0], one[1])):
        catalog.add(message, locations=[(file, 0)], auto_comments=comments, context=context)
    out = BytesIO()
    write_po(out, catalog, width=110, include_lineno=False, sort_by_file=True)
    return out.getvalue()


def run(arguments: Sequence[str]) -> int:
    """Write the template; a test says where it was forgotten."""
    argparse.ArgumentParser(prog="python3 -m portal catalog", description=__doc__).parse_args(arguments)
    TEMPLATE.parent.mkdir(exist_ok=True)
    TEMPLATE.write_bytes(template())
    print(f"{TEMPLATE.relative_to(ROOT)} is up to date.")
    return 0
