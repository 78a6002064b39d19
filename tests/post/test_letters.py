"""Every letter that an act writes: there, whole, plain, and safe with what people typed."""

from __future__ import annotations

import ast
from datetime import date
from decimal import Decimal
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from jinja2 import UndefinedError

from portal.acts.comparing import Sum
from portal.acts.frame_days import FrameDays
from portal.formats import Formats
from portal.post.letters import LONGEST_SUBJECT, Letters
from tests.parts.documents import FIRM, PLACE

ROOT = Path(__file__).resolve().parents[2]
LETTERS = Letters(Formats("en_US", ZoneInfo("America/Chicago"), str))
LINK = "https://portal.example.com/lots/7?a=1&b=2"
LOT = "Lot 7, 112 Alder Lane"
DAY = date(2027, 3, 9)

#: What each act hands to its letter (every `mail...` call under portal/acts).
TREATED = {
    "treated_on": DAY,
    "record": "TR-2027-0009",
    "invoice": "INV-2027-0009",
    "total": Decimal("1477.12"),
    "due_on": date(2027, 4, 8),
}
PACKAGE = {
    "package": "P-2027-0003",
    "title": "Alder Lane",
    "currency": "USD",
    "lots": [(LOT, "Q-2027-0012 rev. 2", Decimal("422.65")), ("Lot 8", "Q-2027-0013", Decimal("422.65"))],
}
ACCEPTED = {"by": "Ada Quist", "first": "", "purchase_order": "PO 88", "total": Decimal("845.30")}
RECALL = {
    "number": "RC-2027-0001", "kind": "product lot", "value": "BL-204",
    "found": "It was too old.\nBy a year.", "to_do": "We come and look.", "office": FIRM,
}  # fmt: skip
BOUNCED: dict[str, Any] = {
    "amount": Decimal("600.00"), "method": "check", "reference": "2288", "received_on": date(2027, 3, 9),
    "on": date(2027, 3, 12), "reason": "No funds.",
    "undone": [{"lot": LOT, "invoice": "INV-2027-0007", "amount": Decimal("540.51")}],
}  # fmt: skip
TROUBLE = {
    "number": "TB-2027-0001", "place": PLACE, "words": "A soft sill.", "due_on": DAY, "photos": 2,
    "warranty": "2A7K-9QXZ-4MC",
}  # fmt: skip
ADDITION = {
    "number": "AD-2027-0001", "place": PLACE, "words": "A sunroom.", "framed_on": DAY,
    "warranty": "2A7K-9QXZ-4MC",
}  # fmt: skip
RENEWAL = {"number": "2A7K-9QXZ-4MC", "place": PLACE, "office": FIRM}
VALUES: dict[str, dict[str, Any]] = {
    "recall_holder": RECALL | {"place": "112 Alder Lane", "warranty": "2A7K-9QXZ-4MC", "treated_on": DAY},
    "recall_builder": RECALL | {"lots": [(LOT, "2A7K-9QXZ-4MC", DAY), ("Lot 8", "3B8M-9QXZ-4MD", DAY)]},
    "trouble_reported": TROUBLE | {"office": FIRM},
    "trouble_office": TROUBLE | {"by": "Ada Roe"},
    "trouble_told": {
        "number": "TB-2027-0001",
        "place": PLACE,
        "step": "decided",
        "decision": "partly covered",
        "words": "The sill is; the trim is not.",
        "record": "",
        "day": None,
        "person": "",
        "terms": "Wood terms",
        "clauses": ["Framing."],
        "office": FIRM,
    },
    "lost_number": {
        "number": "2A7K-9QXZ-4MC",
        "place": PLACE,
        "office": FIRM,
        "find": "https://portal.example.com/warranty",
    },
    "holder_link": {
        "number": "2A7K-9QXZ-4MC",
        "place": PLACE,
        "office": FIRM,
        "again": "https://portal.example.com/warranty/mine",
    },
    "transfer_asked": {"place": PLACE, "office": FIRM},
    "handed_on": {"place": PLACE, "office": FIRM},
    "transfer_not_taken": {
        "number": "2A7K-9QXZ-4MC",
        "place": PLACE,
        "office": FIRM,
        "to": "Ben Cole",
        "declined": True,
    },
    "packet": {"number": "2A7K-9QXZ-4MC", "place": PLACE, "office": FIRM},
    "addition_asked": ADDITION | {"office": FIRM},
    "addition_office": ADDITION | {"by": "Ada Roe"},
    "addition_decided": ADDITION | {"office": FIRM, "taken_on": False, "reason": "Its frame is closed."},
    "renewal_offered": RENEWAL
    | {"ended_on": DAY, "until": DAY, "last_day": DAY, "fee": Decimal("180.00"), "inspection": True},
    "renewal_look": RENEWAL | {"day": DAY, "person": "Noor Vale"},
    "renewal_failed": RENEWAL | {"ended_on": DAY, "reason": "A leak."},
    "renewed": RENEWAL | {"until": DAY},
    "renewal_withdrawn": RENEWAL | {"day": DAY, "owed": True},
    "expired": RENEWAL | {"day": DAY, "last_day": None},
    "made_void": RENEWAL | {"reason": "A wall was cut out and not treated again."},
    "holder_in_force": RENEWAL | {"day": None},
    "expired_renewing": RENEWAL | {"day": DAY, "looked": False},
    "owner_billed": RENEWAL
    | {"kind": "renewal", "amount": Decimal("192.60"), "due_on": DAY, "warranty": "2A7K-9QXZ-4MC"},
    "transfer_declined": {"number": "2A7K-9QXZ-4MC", "reason": "The deed names another."},
    "sent_back": {"lot": LOT, "by": "Odile Marchbank", "record": "TR-2027-0009", "reason": "Is it 2.96?"},
    "explained": {"lot": LOT, "by": "Noor Vale", "record": "TR-2027-0009", "reason": "Two digits."},
    "amended": {
        "lot": LOT,
        "record": "TR-2027-0009",
        "page": 1,
        "was": "2.96",
        "now": "2.69",
        "reason": "Two digits.",
    },
    "asked": {"company": "Harrow Homes", "lot": LOT, "feet": "1246.75", "by": "Ada Quist"},
    "asked_many": {
        "company": "Harrow Homes",
        "by": "Ada Quist",
        "list": LOT,
        "count": 463,
        "feet": "1246.75",
    },
    "quote_sent": {
        "quote": "Q-2027-0012 rev. 2",
        "lot": LOT,
        "total": Decimal("1436.91"),
        "currency": "USD",
        "expires_on": date(2027, 3, 27),
        "office": FIRM,
        "changed": Sum(1, Decimal("1400.00"), Decimal("36.91"), {"feet": Decimal("36.91")}, True),
    },
    "quote_accepted": {
        "quote": "Q-2027-0012 rev. 2",
        "lot": LOT,
        "company": "Harrow Homes",
        "by": "Ada Quist",
        "first": "Ivo Lath",
        "mailed_to": "ada@purchaser.example.org",
        "purchase_order": "PO 88",
    },
    "quote_accepted_copy": {
        "quote": "Q-2027-0012 rev. 2",
        "lot": LOT,
        "by": "Ada Quist",
        "first": "",
        "purchase_order": "",
        "total": Decimal("1436.91"),
    },
    "second_yes": {
        "quote": "Q-2027-0012 rev. 2",
        "lot": LOT,
        "by": "Ada Quist",
        "mailed_to": "",
        "total": Decimal("1436.91"),
        "over": Decimal("1000.00"),
        "expires_on": date(2027, 3, 27),
    },
    "purchaser_link": {
        "by": "Ada Quist",
        "company": "Harrow Homes",
        "office": FIRM,
        "from_office": False,
        "quote": "Q-2027-0012 rev. 2",
        "lot": LOT,
        "until": date(2027, 3, 20),
    },
    "link_answered": {
        "quote": "Q-2027-0012 rev. 2",
        "lot": LOT,
        "by": "Pia Holm",
        "accepted": True,
        "mailed_to": "pia@purchaser.example.org",
        "first": "",
        "purchase_order": "PO 88",
        "reason": "",
    },
    "quote_declined": {
        "quote": "Q-2027-0012 rev. 2",
        "lot": LOT,
        "company": "Harrow Homes",
        "by": "Ada Quist",
        "mailed_to": "",
        "reason": "We frame in steel.",
    },
    "frame_days": {
        "company": "Harrow Homes",
        "lot": LOT,
        "by": "Ada Quist",
        "now": FrameDays(DAY, None),
        "before": FrameDays(None, DAY),
    },
    "quote_lapsing": {"quote": "Q-2027-0012 rev. 2", "lot": LOT, "expires_on": date(2027, 3, 27)},
    "package_sent": PACKAGE | {"total": Decimal("845.30"), "expires_on": date(2027, 3, 27), "office": FIRM},
    "package_accepted": PACKAGE | ACCEPTED | {"company": "Harrow Homes"},
    "package_accepted_copy": PACKAGE | ACCEPTED,
    "package_second_yes": PACKAGE
    | {
        "by": "Ada Quist",
        "total": Decimal("845.30"),
        "over": Decimal("500"),
        "expires_on": date(2027, 3, 27),
    },
    "package_declined": PACKAGE | {"company": "Harrow Homes", "by": "Ada Quist", "reason": "Sold."},
    "package_lapsing": PACKAGE | {"expires_on": date(2027, 3, 27)},
    "package_lapsed": PACKAGE,
    "quote_lapsed": {"quote": "Q-2027-0012 rev. 2", "lot": LOT, "expired_on": date(2027, 3, 27)},
    "booked": {"lot": LOT, "day": DAY, "moved": False, "kind": "", "reason": "", "technician": "Noor Vale"},
    "stop_booked": {"lot": LOT, "day": DAY},
    "called_off": {"lot": LOT, "day": DAY, "kind": "", "reason": "Rain came in."},
    "treated": TREATED | {"lot": LOT, "office": FIRM},
    "billed": {key: value for key, value in TREATED.items() if key != "record"}
    | {"lot": LOT, "office": FIRM},
    "money_paper": {
        "what": "credited",
        "number": "CN-2027-0001",
        "amount": Decimal("12.00"),
        "of": LOT,
        "due_on": DAY,
        "other": "INV-2027-0003",
        "reason": "Counted twice.",
        "office": FIRM,
    },
    "treated_office": TREATED | {"lot": LOT, "by": "Noor Vale", "problems": "Wet plates."},
    "differing": {"lot": LOT, "by": "Noor Vale"},
    "in_force": {
        "lot": LOT,
        "number": "K7QM-2WHT-9RC",
        "ends_on": date(2037, 3, 8),
        "find": "https://portal.example.com/warranty",
    },
    "reminder": {
        "subject": "{invoice} is {days} days late",
        "body": "{amount} for {lot} was due on {due}.\n\nPlease pay.",
        "invoice": "INV-2027-0009",
        "lot": LOT,
        "count": 1,
        "amount": Decimal("1477.12"),
        "currency": "USD",
        "due": date(2027, 4, 8),
        "days": 7,
        "invoices": [],
        "office": FIRM,
    },
    "statement": {
        "statement": "STM-2027-0003",
        "first": date(2027, 3, 1),
        "last": date(2027, 3, 31),
        "closing": Decimal("845.30"),
        "late": Decimal("422.65"),
        "currency": "USD",
        "office": FIRM,
    },
    "disputed": {"invoice": "INV-2027-0009", "by": "Ada Quist", "company": "Harrow Homes", "reason": LOT},
    "dispute_settled": {"invoice": "INV-2027-0009", "by": "Noor Vale", "reason": LOT, "words": "It was so."},
    "bounced": BOUNCED,
    "bounced_office": BOUNCED | {"by": "Noor Vale", "company": "Harrow & Finch Homes", "in_force": [LOT]},
    "invitation": {"by": "Olive Reed", "kind": "builder"},
    "reset": {},
}
KINDS = list(VALUES)


def write(kind: str, /, **changed: Any) -> Any:
    return LETTERS.write(kind, {"name": "Ada Quist", "link": LINK} | VALUES[kind] | changed)


class Text(HTMLParser):
    """The words of an HTML letter, its links, and any element that could fetch or run something."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.words, self.links, self.tags = "", [], set()
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.links += [value for name, value in attrs if name == "href"]

    def handle_data(self, data: str) -> None:
        self.words += data


def kinds_in_acts() -> set[str]:
    """The letter kinds that the acts name, read from their syntax trees."""
    found = set()
    for path in (ROOT / "portal" / "acts").glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "").startswith("mail"):
                named = [arg.value for arg in node.args[2:3] if isinstance(arg, ast.Constant)]
                found |= set(named)
    return found


def test_there_is_a_letter_for_each_kind_that_acts_write_and_no_other() -> None:
    files = {path.name.partition(".")[0] for path in (ROOT / "templates" / "letters").iterdir()}

    assert kinds_in_acts() == set(KINDS) == files - {"layout"}


@pytest.mark.parametrize("kind", KINDS)
def test_a_letter_has_one_line_of_subject_and_the_same_words_twice(kind: str) -> None:
    letter = write(kind)

    assert letter.subject
    assert "\n" not in letter.subject
    html = Text(letter.html)
    paragraphs = [line for line in letter.text.splitlines() if line and line not in ("--", LINK)]
    assert [line for line in paragraphs if line.rstrip(":") not in html.words] == []


@pytest.mark.parametrize("kind", KINDS)
def test_a_letter_leads_to_its_page_and_fetches_nothing(kind: str) -> None:
    letter = write(kind)

    html = Text(letter.html)
    assert LINK in letter.text
    assert html.links == [LINK]
    assert html.tags <= {"html", "head", "meta", "title", "body", "p", "a", "hr", "small"}


@pytest.mark.parametrize("kind", [kind for kind in KINDS if "lot" in VALUES[kind]])
def test_what_people_typed_is_text_in_both(kind: str) -> None:
    typed = "Lot <b>7</b> & {{ 7 * 7 }}"

    letter = write(kind, lot=typed)

    assert typed in letter.text
    assert typed in Text(letter.html).words
    assert "<b>" not in letter.html


@pytest.mark.parametrize("kind", [kind for kind in KINDS if VALUES[kind]])
def test_a_value_that_is_missing_is_an_error_and_not_a_gap(kind: str) -> None:
    with pytest.raises(UndefinedError):
        LETTERS.write(kind, {"name": "Ada Quist", "link": LINK})


@pytest.mark.parametrize(
    ("kind", "shown"),
    [
        ("asked", "1,246.75 lineal feet"),
        ("quote_sent", "$1,436.91"),
        ("quote_sent", "March 27, 2027"),
        ("quote_sent", "(555) 555-0110"),
        ("quote_accepted", "PO 88"),
        ("second_yes", "$1,436.91. Over $1,000.00"),
        ("purchaser_link", "March 20, 2027"),
        ("purchaser_link", "Ada Quist of Harrow Homes"),
        ("link_answered", "pia@purchaser.example.org"),
        ("booked", "Tuesday, March 9, 2027"),
        ("booked", "boxes covered"),
        ("called_off", "Rain came in."),
        ("treated", "$1,477.12, due on April 8, 2027"),
        ("treated_office", "Wet plates."),
        ("package_sent", "$845.30 for all of its lots"),
        ("package_sent", "Lot 7, 112 Alder Lane: Q-2027-0012 rev. 2, $422.65"),
        ("package_accepted", "the quotes of 2 lots of package P-2027-0003, Alder Lane, for Harrow Homes"),
        ("package_declined", "Sold."),
        ("package_second_yes", "They come to $845.30. Over $500.00"),
        ("in_force", "K7QM-2WHT-9RC"),
        ("in_force", "March 8, 2037"),
    ],
)
def test_a_letter_says_its_figures_as_people_read_them(kind: str, shown: str) -> None:
    assert shown in write(kind).text


@pytest.mark.parametrize(
    ("kind", "changed", "shown", "silent"),
    [
        ("booked", {"moved": True}, "is moved", "is booked"),
        ("booked", {"moved": True, "kind": "weather"}, "The reason: the weather.", "not ready"),
        ("called_off", {"kind": "not ready"}, "the house is not ready. Rain came in.", "The reason: Rain"),
        ("called_off", {"kind": "other"}, "The reason: Rain came in.", "the weather"),
        ("quote_accepted", {"purchase_order": ""}, "accepted", "Purchase order"),
        ("quote_accepted", {"first": "", "mailed_to": ""}, "accepted", "first yes"),
        ("quote_accepted_copy", {"link": ""}, "with the builder", "you are told"),
        ("quote_declined", {"mailed_to": "ada@purchaser.example.org"}, "through a link", "of Harrow Homes"),
        ("second_yes", {"mailed_to": "pia@example.org"}, "mailed to pia@example.org", "Harrow"),
        ("purchaser_link", {"from_office": True}, "which is for Harrow Homes", "Ada Quist of Harrow Homes"),
        ("link_answered", {"accepted": False, "reason": "Too dear."}, "declined", "accepted"),
        ("package_accepted", {"first": "Otto Lind"}, "The first yes: Otto Lind.", "one lot"),
        ("package_accepted", {"lots": [(LOT, "Q", 1)] * 61}, "and 1 more", "one lot"),
        ("package_accepted", {"purchase_order": "", "lots": [(LOT, "Q", 1)]}, "one lot", "Purchase order"),
        ("called_off", {"link": ""}, "called off", "Open the lot"),
        ("called_off", {"reason": ""}, "called off", "The reason"),
        ("treated_office", {"problems": ""}, "No problems were noted", "Problems noted"),
        ("in_force", {"ends_on": None}, "life of the structure", "last day"),
        ("expired", {"last_day": DAY}, "can still be renewed", "stays on record"),
        (
            "trouble_told",
            {"step": "done", "day": DAY, "words": "", "record": "TR-1"},
            "TR-1",
            "wrote these words",
        ),
        ("trouble_reported", {"photos": 1}, "with 1 photo:", "1 photos"),
        ("trouble_reported", {"photos": 0}, "What was reported:", "photo"),
        ("trouble_office", {"photos": 1}, "1 photo came with it.", "1 photos"),
        ("trouble_office", {"photos": 0}, "A first answer", "photo"),
        ("invitation", {"kind": "technician"}, "your stops", "prices for your lots"),
    ],
)
def test_a_letter_says_only_what_holds(kind: str, changed: dict[str, Any], shown: str, silent: str) -> None:
    letter = write(kind, **changed)

    assert shown in letter.text
    assert silent not in letter.text


def test_a_name_that_breaks_lines_breaks_no_header() -> None:
    letter = write("asked", lot="Lot 7\r\nBcc: everybody@example.org")

    assert letter.subject == "A price is asked for: Lot 7 Bcc: everybody@example.org"


def test_a_subject_fits_the_outbox_however_long_a_name_is() -> None:
    letter = write("asked", lot="Lot 7, " * 80)

    assert len(letter.subject) <= LONGEST_SUBJECT
    assert letter.subject.endswith("…")


@pytest.mark.parametrize(
    ("now", "before", "said"),
    [
        ((DAY, None), (None, None), ["Siding starts on Tuesday, March 9, 2027."]),
        ((DAY, None), (date(2027, 3, 12), None),
         ["Siding starts on Tuesday, March 9, 2027, and not on Friday, March 12, 2027 as given before."]),
        ((None, DAY), (DAY, None),
         ["No day is given any more on which siding starts; it was Tuesday, March 9, 2027.",
          "Insulation starts on Tuesday, March 9, 2027."]),
        ((DAY, None), (DAY, DAY),
         ["No day is given any more on which insulation starts; it was Tuesday, March 9, 2027."]),
    ],
)  # fmt: skip
def test_the_office_reads_which_day_of_the_frame_was_given(now: Any, before: Any, said: list[str]) -> None:
    text = write("frame_days", now=FrameDays(*now), before=FrameDays(*before)).text

    told = text.partition("says of Lot 7, 112 Alder Lane:")[2].partition("Open the lot")[0]
    assert [line for line in told.splitlines() if line] == said


def test_a_reminder_is_in_the_office_s_words_with_what_they_name() -> None:
    letter = write("reminder")

    assert letter.subject == "INV-2027-0009 is 7 days late"
    assert f"$1,477.12 for {LOT} was due on April 8, 2027.\n\nPlease pay.\n" in letter.text
    assert "<p>Please pay.</p>" in letter.html


def test_a_reminder_of_several_lists_them_and_names_what_it_cannot_by_their_number() -> None:
    invoices = [(f"INV-2027-{n:04}", "Lot <7>", date(2027, 4, 8), Decimal("10.00")) for n in range(70)]
    several = {"invoice": None, "lot": None, "count": 70, "invoices": invoices}
    letter = write("reminder", subject="{invoice}, {lot}", **several)

    assert letter.subject == "70 invoices, 70 lots"
    assert "INV-2027-0059, Lot <7>: $10.00, due on Apr 8, 2027" in letter.text
    assert "INV-2027-0060" not in letter.text and "and 10 more" in letter.text
    assert "Lot &lt;7&gt;" in letter.html


def test_a_statement_s_letter_says_what_is_owed_or_to_the_builder_s_credit() -> None:
    assert "$845.30 was owed, of which $422.65 was past due" in write("statement").text
    assert "you had $12.00 to your credit" in write("statement", closing=Decimal("-12.00")).text


@pytest.mark.parametrize("fewer", ["", "https://portal.example.com/letters/off"])
def test_the_last_lines_of_a_letter_stand_apart(fewer: str) -> None:
    made = write("treated", fewer=fewer)
    ending = made.text.rstrip().splitlines()
    wrote = ending.index("Sillbook wrote this letter by itself, for the office.")
    assert ending[wrote - 1] == "--"
    assert ending[wrote + 1 :] == ([f"No more letters of this kind: {fewer}"] if fewer else [])
