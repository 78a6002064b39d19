"""What a line of a bank's list could be: proposals, each with why. A person decides which, if any.

In this order: what names an invoice, what names a purchase order, what names a builder, and what comes to
exactly as much as is open, of one invoice or of the oldest several of one builder.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal

from portal.core.money.paying import ZERO, Owing, Part, Plan, oldest_first
from portal.core.sheets.identity import folded
from portal.core.words import Said, say

MOST = 3
#: A payment that was recorded by hand stands in the bank's list this much later, at most.
LATER = timedelta(days=21)
#: What a company's name has beside the name itself. Trade names only end in it; no source, common practice.
AND = "and"
ENDINGS = ("inc", "llc", "co", "corp", "company", "ltd", "lp")
_WORD = re.compile(r"[^\W_]+")
_SHORTEST_NAME, _SHORTEST_ORDER = 5, 3


@dataclass(frozen=True, slots=True)
class Open:
    """An open invoice, what is due first on top; `order` is its purchase order."""

    id: str
    number: str
    company_id: str
    asks: Decimal
    order: str = ""


@dataclass(frozen=True, slots=True)
class Known:
    """A payment that is recorded, and behind which no line stands yet."""

    id: str
    company_id: str
    amount: Decimal
    on: date
    reference: str


@dataclass(frozen=True, slots=True)
class Proposal:
    """What a line could be: money from a builder that pays these; or a payment that is recorded already."""

    company_id: str
    parts: tuple[Part, ...]
    rest: Decimal
    why: tuple[Said, ...]
    payment_id: str = ""


@dataclass(slots=True)
class Book:
    """All that lines are matched to, looked up by what may stand in a text."""

    owing: dict[str, list[Open]] = field(default_factory=lambda: defaultdict(list))
    numbers: dict[str, Open] = field(default_factory=dict)
    orders: dict[str, list[Open]] = field(default_factory=lambda: defaultdict(list))
    amounts: dict[Decimal, list[Open]] = field(default_factory=lambda: defaultdict(list))
    sums: dict[Decimal, list[tuple[str, int]]] = field(default_factory=lambda: defaultdict(list))
    names: list[tuple[str, str]] = field(default_factory=list)
    known: dict[Decimal, list[Known]] = field(default_factory=lambda: defaultdict(list))


def book_of(owing: Iterable[Open], names: Iterable[tuple[str, str]], known: Iterable[Known]) -> Book:
    """The book of these. `names` are id and name of every builder."""
    book = Book()
    for one in owing:
        book.owing[one.company_id].append(one)
        book.numbers[folded(one.number)] = one
        book.amounts[one.asks].append(one)
        if len(folded(one.order)) >= _SHORTEST_ORDER:
            book.orders[folded(one.order)].append(one)
    for company_id, rows in book.owing.items():
        total = rows[0].asks
        for count, row in enumerate(rows[1:], 2):
            total += row.asks
            book.sums[total].append((company_id, count))
    book.names = [(id_, bare) for id_, name in names if len(bare := bare_name(name)) >= _SHORTEST_NAME]
    for payment in known:
        book.known[payment.amount].append(payment)
    return book


def bare_name(name: str) -> str:
    """A company's name without what kind of company it is."""
    words = [word for word in map(folded, name.split()) if word not in (AND, "")]
    while len(words) > 1 and words[-1] in ENDINGS:
        words.pop()
    return "".join(words)


def proposals(on: date, amount: Decimal, text: str, book: Book) -> tuple[Proposal, ...]:
    """What this line could be, the likeliest first; nothing for what went out."""
    if amount <= 0:
        return ()
    words = _words(text)
    found = [*_recorded(on, amount, words, book)]
    named = {one.id: one for word in words if (one := book.numbers.get(word))}
    if named:
        found += _by_invoices(amount, list(named.values()), book)
    ordered = {one.id: one for word in words for one in book.orders.get(word, ())}
    found += [_pay(amount, rows, book, say("names the purchase order {order}", order=rows[0].order))
              for rows in _by_company(ordered.values())]  # fmt: skip
    found += _by_name(amount, "".join(w for w in map(folded, text.split()) if w != AND), book)
    found += _by_amount(amount, book)
    return _distinct(found)


def _words(text: str) -> set[str]:
    """Every word of a text, and every two and three that stand together: numbers are parted in many ways."""
    words = [folded(word) for word in _WORD.findall(text)]
    together = ("".join(words[at : at + count]) for count in (1, 2, 3, 4) for at in range(len(words)))
    return {word for word in together if word}


def _recorded(on: date, amount: Decimal, words: set[str], book: Book) -> Iterable[Proposal]:
    for one in book.known.get(amount, ()):
        if abs(on - one.on) > LATER:
            continue
        why = [say("as much was recorded on {day}", day=one.on)]
        if one.reference and folded(one.reference) in words:
            why.append(say("with the same reference, {reference}", reference=one.reference))
        yield Proposal(one.company_id, (), ZERO, tuple(why), one.id)


def _by_invoices(amount: Decimal, named: list[Open], book: Book) -> list[Proposal]:
    found = []
    for rows in _by_company(named):
        numbers = ", ".join(row.number for row in rows)
        found.append(_pay(amount, rows, book, say("names {numbers}", numbers=numbers)))
    return found


def _by_company(rows: Iterable[Open]) -> list[list[Open]]:
    found: dict[str, list[Open]] = defaultdict(list)
    for row in rows:
        found[row.company_id].append(row)
    return list(found.values())


def _by_name(amount: Decimal, text: str, book: Book) -> list[Proposal]:
    found = []
    for company_id, name in book.names:
        if name not in text:
            continue
        why = say("names this builder")
        rows = book.owing.get(company_id, [])
        exact = [row for row in rows if row.asks == amount]
        found.append(_pay(amount, exact[:1] or rows, book, why, company_id))
    return found


def _by_amount(amount: Decimal, book: Book) -> list[Proposal]:
    found = [_pay(amount, [row], book, None) for row in book.amounts.get(amount, ())]
    return found + [
        _pay(amount, book.owing[company_id][:count], book, None)
        for company_id, count in book.sums.get(amount, ())
    ]  # fmt: skip


def _pay(
    amount: Decimal, rows: Sequence[Open], book: Book, why: Said | None, company_id: str = ""
) -> Proposal:
    """Money of one builder's for these invoices; what is over pays its oldest others, then is credit."""
    company_id = company_id or rows[0].company_id
    chosen = {row.id for row in rows}
    order = [*rows, *(row for row in book.owing.get(company_id, ()) if row.id not in chosen)]
    plan: Plan = oldest_first(amount, [Owing(row.id, row.number, row.asks) for row in order])
    reasons = [why] if why else []
    paid = {part.invoice: part.amount for part in plan.parts}
    whole = [row for row in order if paid.get(row.id) == row.asks]
    if plan.parts and len(whole) == len(plan.parts) and not plan.rest:
        others = len(book.amounts.get(amount, ())) if len(whole) == 1 else 1
        if len(whole) > 1:
            reasons.append(say("comes to exactly what is open of these {count}", count=len(whole)))
        elif others > 1:
            reasons.append(say("is exactly what is open of {number}, and of {count} more",
                               number=whole[0].number, count=others - 1))  # fmt: skip
        else:
            reasons.append(say("is exactly what is open of {number}", number=whole[0].number))
    elif plan.rest:
        reasons.append(say("is more than is open: {rest} would be kept as credit", rest=plan.rest))
    else:
        reasons.append(say("is a part of what is open"))
    return Proposal(company_id, plan.parts, plan.rest, tuple(reasons))


def _distinct(found: Iterable[Proposal]) -> tuple[Proposal, ...]:
    """Each once, with all that speaks for it; the first few."""
    merged: dict[tuple[str, str, tuple[Part, ...]], list[Said]] = {}
    rest: dict[tuple[str, str, tuple[Part, ...]], Decimal] = {}
    for one in found:
        key = one.payment_id, one.company_id, tuple(sorted(one.parts, key=lambda part: part.invoice))
        rest.setdefault(key, one.rest)
        why = merged.setdefault(key, [])
        why += [says for says in one.why if says not in why]
    return tuple(
        Proposal(company_id, parts, rest[payment, company_id, parts], tuple(why), payment)
        for (payment, company_id, parts), why in list(merged.items())[:MOST]
    )
