"""Every word that people read comes from the catalog: pages, letters and papers in a language of marks.

The catalog here wraps each text in brackets, ⟦Like this⟧. What is left outside of brackets has
to be something that somebody typed, or a figure, a day, a number of ours.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import msgspec
import pytest
from babel.dates import get_day_names, get_month_names
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po

from portal.acts import papers
from portal.acts.outbox import letters
from portal.acts.papers import OF_RECORD
from portal.commands.catalog import TEMPLATE
from portal.core.sheets.columns import COLUMNS
from portal.papers import Papers
from seed_demo.scenario import cast, chasing, houses, library, promise
from tests.parts.demo import Demo, load_demo, open_demo
from tests.parts.every_page import every_page
from tests.parts.house import PlainSeal

pytestmark = pytest.mark.slow

#: Read out or shown, though no text of the page: what a field is called, what stands in for a picture.
SPOKEN = frozenset({"title", "aria-label", "alt", "placeholder", "data-label", "label", "aria-description"})
UNREAD = frozenset({"style", "script"})


def write_marked_catalog(folder: Path) -> None:
    """A compiled catalog whose every text is its English between brackets, placeholders kept."""
    with TEMPLATE.open("rb") as file:
        catalog = read_po(file, locale="en_US")
    for message in catalog:
        if message.id:
            message.string = (
                tuple(f"⟦{one}⟧" for one in message.id)
                if isinstance(message.id, tuple | list)
                else f"⟦{message.id}⟧"
            )
    into = folder / "en_US" / "LC_MESSAGES"
    into.mkdir(parents=True)
    with (into / "messages.mo").open("wb") as made:
        write_mo(made, catalog)


class Words(HTMLParser):
    """All that a page shows or says."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self._within: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._within.append(tag)
        self.found += [value for name, value in attrs if value and name in SPOKEN]

    def handle_endtag(self, tag: str) -> None:
        if tag in self._within:
            while self._within.pop() != tag:
                pass

    def handle_data(self, data: str) -> None:
        if not UNREAD & set(self._within[-1:]):
            self.found.append(data)


def words_of(page: str) -> list[str]:
    reader = Words()
    reader.feed(page)
    return [" ".join(one.split()) for one in reader.found if one.strip()]


def texts_in(anything: Any) -> Iterator[str]:
    """Every text within plain data."""
    if isinstance(anything, str):
        yield anything
        yield from (line for line in anything.split("\n") if line != anything)
    elif isinstance(anything, dict):
        yield from texts_in(list(anything.values()))
    elif isinstance(anything, list | tuple):
        for one in anything:
            yield from texts_in(one)


def typed_texts() -> list[str]:
    """What the demo's people typed: the longest first, so that no part is taken out of a whole."""
    of_cast = [getattr(cast, name) for name in dir(cast) if name.isupper()]
    of_houses = [getattr(houses, name) for name in dir(houses) if name.isupper()] + [list(library.EDITIONS)]
    companies = list(cast.BUILDERS)
    columns = [f"“{name}”" for column in COLUMNS for name in column.names]
    of_promise = [promise.ADA, promise.BEN, promise.SAID, promise.AGAIN]
    own = set(texts_in([of_cast, of_houses, of_promise, companies, columns, TYPED]))
    # A single small word is a choice among the form's own (open, wrapped, paid), and nobody's typing.
    return sorted(
        (one for one in own if not re.fullmatch(r"[a-z]+|[\d.]+|.{0,2}", one)), key=len, reverse=True
    )


#: Typed in the story, or by this test.
TYPED = [
    "Weir Terrace, first three", "Weir Terrace",
    "Quarry Bend", "Tamarack Ford", "Lime Kiln Lane", "Ferry Oak Court", "Sluice Road",
    "Key box on the panel post.", "Stair framing, both flights", "Treated by brush before the treads go on",
    "The buyer chose another frame.", "As seen on site: the front is sided by now on all three stories.",
    "Gate is open from 7.", "Agreed with the superintendent.",
    "Paid; the posted notice is still to be put up at the panel.", "Dry, light wind, about 60 °F.",
    # Out of a sheet of somebody's own: its headers, its cells.
    "Parcel", "Where it is", "Which town", "Which State", "Code", "Stands upon", "Feet outside",
    "Feet inside", "Cladding", "Marlow Ferry", "“open”", "“slab”",
    "Recertification", "Juno Ashby", "juno@plumbline.example.com", "CA-0612", "Sillbook", "Pia Holm",
    "hand or backpack sprayer, brush beside finished wood",  # what a record says where nobody typed it
    # Frozen with each record, whose bytes no language may change.
    "wood-destroying insects and decay fungi, as on the product's label",
    # And with each invoice: why a line differs, and where.
    "Siding was on: second coat inside.", "No wrap to pull back.", "Main floor", "Wall 3, heading E",
    # A bank's own words and headings, and what was typed about its lines.
    "To be named", "WIRE", "Account list", "How much", "What", "When", "Fee", "Interest",
    "The bank’s interest.", "Paid twice.", "A check is in the mail.", "Ada Roe", "INV",
    "Millrace Row, both", "Millrace Row", "AW-118", "Seen: The deed.", "Ben Cole", "A soft sill.",
    "A sunroom.",
    "Siding is on early here; the next houses of this builder are open.",
    "The holder", "The next owner",  # who acted without an account: kept in the history, which never changes
]  # fmt: skip

#: Figures with their units, days, numbers of ours, addresses: nothing that a catalog puts into other words.
FIGURES = re.compile(
    r"https?://\S+|\S+@\S+|\b[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{3}\b|\b[0-9a-f]{16,64}\b|\bLot \d+\b"
    r"|\b(?:Q|J|TR|INV|CN|RR|RC|STM|AD|TB|PO|P|QB|D)-[\d-]+(?: rev\. \d+)?|\b(?:AM|PM|IA|NE|SE|SW|NW|WP|RI)\b"
    r"|[\d.,]+ (?:ft|gal|min|fl oz)\b"
)
NAMES = "|".join(
    name for kind in ("wide", "abbreviated") for width in ("format",)
    for table in (get_month_names(kind, width, "en_US"), get_day_names(kind, width, "en_US"))
    for name in table.values()
)  # fmt: skip
#: The office's own reminders, as entered and as sent: with what stood in for each name in braces.
REMINDERS = re.compile("|".join(
    re.sub(r"\\\{\w+\\\}", r"(?:\{\\w+\}|[^⟦⟧{}]+?)", re.escape(line)) + r"(?!\w)"
    for step in chasing.TERMS["steps"] for line in (step["subject"], *step["body"].split("\n")) if line
))  # fmt: skip
DAYS = re.compile(rf"\b(?:{NAMES})\b")
ROUND = re.compile(r"⟦[^⟦⟧]*⟧")


def unmarked(texts: Iterable[str], typed: list[str]) -> list[str]:
    """The texts that have a word of nobody's outside of the brackets."""
    found = []
    for text in texts:
        left = REMINDERS.sub(" ", text)
        for one in typed:
            left = left.replace(one, " ")
        while (fewer := ROUND.sub(" ", left)) != left:
            left = fewer
        left = DAYS.sub(" ", FIGURES.sub(" ", left))
        if re.search(r"[A-Za-z]{2,}", left):
            found.append(f"{left.strip()!r} in {text!r}")
    return found


@pytest.fixture(scope="module")
def marked(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Demo]:
    """The demo, told and shown in the language of marks."""
    folder = tmp_path_factory.mktemp("marked")
    write_marked_catalog(folder / "catalogs")
    demo = open_demo(load_demo(folder, catalogs=folder / "catalogs"))
    yield demo
    demo.parts.store.engine.dispose()


def test_a_word_outside_of_the_catalog_would_be_found() -> None:
    assert unmarked(["⟦Lot⟧: Lot 7, 112 Lime Kiln Lane"], typed_texts()) == []
    assert unmarked(["⟦Wall %(number)s⟧ north"], typed_texts())
    assert words_of('<p title="One">Two<img alt="Three"><style>Four</style></p>') == ["One", "Two", "Three"]


def test_every_word_on_every_page_is_in_the_catalog(marked: Demo) -> None:
    app, typed, wrong = marked.app(), typed_texts(), set[str]()

    for visit in every_page(marked):
        client = app.test_client()
        if visit.who:
            with client.session_transaction() as session:
                session["sign_in"] = marked.sign_in(visit.who)
        said = client.get(visit.path).get_data(as_text=True)
        assert "⟦" in said
        if visit.endpoint != "front.letter":
            wrong |= {f"{visit.endpoint}: {one}" for one in unmarked(words_of(said), typed)}

    assert not wrong, "\n".join(sorted(wrong))


def test_every_word_of_every_letter_is_in_the_catalog(marked: Demo) -> None:
    typed = typed_texts()
    written = letters(marked.parts)

    wrong = {one for letter in written
             for one in unmarked([letter.subject, *letter.text.splitlines()], typed)}  # fmt: skip

    assert written
    assert not wrong, "\n".join(sorted(wrong))


def frozen_in(document: Any) -> set[str]:
    """What a document froze, wall names and price lines too: printed as it stands, in any language.

    A paper is the same bytes whenever it is printed, and what was agreed was agreed in these words.
    """
    texts = {
        one for one in texts_in(msgspec.to_builtins(document)) if not re.fullmatch(r"[a-z]+|[\d.]+", one)
    }
    return texts | {one[:1].upper() + one[1:] for one in texts}


class Reread:
    """Papers that keep what would have gone to the press."""

    def __init__(self, real: Papers) -> None:
        self.real, self.pages = real, {}  # type: ignore[var-annotated]

    def make(self, kind: str, document: Any, beside: Any) -> bytes:
        self.pages[kind] = self.real.html(kind, document, beside), frozen_in(document)
        return b"%PDF-"


def test_every_word_of_every_paper_is_in_the_catalog(marked: Demo) -> None:
    assert isinstance(marked.parts.papers, Papers)
    press, office = Reread(marked.parts.papers), marked.person("Odile")
    parts = replace(marked.parts, papers=press, seal=PlainSeal())

    for number in (1, 2, 5):
        lot_id = marked.lot(number)
        for one in papers.papers_of(parts, office, lot_id):
            papers.paper(parts, office, lot_id, one.kind, one.revision)

    kinds = {"quote", "acceptance", "field-sheet", *OF_RECORD, "invoice", "certificate"}
    wrong = set[str]()
    for kind, (page, frozen) in press.pages.items():
        nobodys = sorted({*typed_texts(), *frozen}, key=len, reverse=True)
        wrong |= {f"{kind}: {one}" for one in unmarked(words_of(page), nobodys)}
    assert set(press.pages) == kinds
    assert not wrong, "\n".join(sorted(wrong))
