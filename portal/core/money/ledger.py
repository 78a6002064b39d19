"""Double entry: what each event of money posts to which account. Every entry adds up to nothing.

A debit is over zero, a credit under it. Accounts are named in plain words; the exports give them the
names that other books know. What an invoice still asks for is the balance of its receivable and its
retainage, and what a builder has to its credit is that of the account credits, turned round.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from portal.core.documents import Offer

RECEIVABLE = "receivable"
RETAINAGE = "retainage"
#: What a builder paid ahead of the treatment, and what it has to its credit: both are owed to it.
DEPOSITS = "deposits"
CREDITS = "credits"
WRITE_OFFS = "write-offs"
#: What was taken off for paying soon.
PROMPT = "discount for prompt payment"
#: What an invoice asks for stands in these two.
ASKED = (RECEIVABLE, RETAINAGE)

#: What can happen to money, as the ledger names it.
EVENTS = (
    "invoiced", "received", "applied", "credited", "bounced", "refunded", "written off", "retainage released",
    "prompt payment",
)  # fmt: skip

ZERO = Decimal("0.00")


@dataclass(frozen=True, slots=True)
class Post:
    """One side of an entry, in dollars: debit over zero, credit under it. `invoice` is an invoice's id."""

    account: str
    amount: Decimal
    invoice: str | None = None


Posts = tuple[Post, ...]


def cash(method: str) -> str:
    """The account of money that came by a method."""
    return f"cash: {method}"


def income(kind: str) -> str:
    """The account of what is earned with a kind of line; `discount` is what was taken off."""
    return f"income: {kind}"


def tax(jurisdiction: str) -> str:
    """The account of tax owed to a jurisdiction; to none where the rate book's percent stands."""
    return f"tax: {jurisdiction}" if jurisdiction else "tax: by the rate book"


def is_balanced(posts: Iterable[Post]) -> bool:
    """Whether these add up to nothing."""
    return sum((post.amount for post in posts), ZERO) == 0


def _kept(*posts: Post) -> Posts:
    return tuple(post for post in posts if post.amount != 0)


def earned(offer: Offer) -> Posts:
    """The credits of an offer: income by kind of line, what was taken off, and tax by jurisdiction."""
    posts = [Post(income(line.what), -line.amount) for line in offer.lines]
    posts.append(Post(income("discount"), offer.discount))
    if offer.taxes:
        posts += [Post(tax(part.jurisdiction), -part.amount) for part in offer.taxes]
    else:
        posts.append(Post(tax(""), -offer.tax))
    return _kept(*posts)


def invoiced(
    invoice: str,
    offer: Offer,
    retained: Decimal = ZERO,
    deposits: Decimal = ZERO,
    parts: Iterable[Offer] = (),
) -> Posts:
    """An invoice for work done: what is asked for now, what is held back, deposits that it uses up.

    `parts` are the offers that `offer` is the sum of, where it stands for several lots.
    """
    asked = offer.total - retained - deposits
    return _kept(
        Post(RECEIVABLE, asked, invoice), Post(RETAINAGE, retained, invoice), Post(DEPOSITS, deposits)
    ) + tuple(post for part in (tuple(parts) or (offer,)) for post in earned(part))


def deposit_invoiced(invoice: str, amount: Decimal) -> Posts:
    """A deposit asked for before the work: owed to the builder until an invoice uses it up."""
    return _kept(Post(RECEIVABLE, amount, invoice), Post(DEPOSITS, -amount))


def received(method: str, amount: Decimal) -> Posts:
    """Money that came: first to the builder's credit."""
    return _kept(Post(cash(method), amount), Post(CREDITS, -amount))


def applied(invoice: str, amount: Decimal) -> Posts:
    """So much of the builder's credit pays an invoice; less than zero undoes it."""
    return _kept(Post(CREDITS, amount), Post(RECEIVABLE, -amount, invoice))


def credited(
    invoice: str, offer: Offer, *, receivable: Decimal, retainage: Decimal, credit: Decimal,
    deposits: Decimal = ZERO, let_off: Decimal = ZERO, written_off: bool = False,
    parts: Iterable[Offer] = (),
) -> Posts:  # fmt: skip
    """A credit note: takes back what was earned, off what is open, off retainage, the rest as a credit.

    `offer` holds what is taken back, as amounts over zero; the others add up to its total. `deposits` are
    those given back that the invoice had used up, `let_off` what nobody paid because it was taken off for
    paying soon, or `written_off`; `parts` are the offers that `offer` is the sum of.
    """
    assert receivable + retainage + credit + deposits + let_off == offer.total
    taken = (post for part in (tuple(parts) or (offer,)) for post in earned(part))
    back = tuple(Post(post.account, -post.amount) for post in taken)
    return back + _kept(
        Post(RECEIVABLE, -receivable, invoice), Post(RETAINAGE, -retainage, invoice), Post(CREDITS, -credit),
        Post(DEPOSITS, -deposits), Post(WRITE_OFFS if written_off else PROMPT, -let_off),
    )  # fmt: skip


def deposit_credited(invoice: str, *, receivable: Decimal, credit: Decimal) -> Posts:
    """A deposit taken back: off what is open of it, the rest as the builder's credit."""
    return _kept(
        Post(DEPOSITS, receivable + credit), Post(RECEIVABLE, -receivable, invoice), Post(CREDITS, -credit)
    )


def bounced(method: str, amount: Decimal, undone: Iterable[tuple[str, Decimal]]) -> Posts:
    """A payment that did not hold: what it paid is open again. `undone` is invoice and amount."""
    again = [post for invoice, part in undone for post in applied(invoice, -part)]
    return (*again, *_kept(Post(CREDITS, amount), Post(cash(method), -amount)))


def refunded(method: str, amount: Decimal) -> Posts:
    """A builder's credit paid back."""
    return _kept(Post(CREDITS, amount), Post(cash(method), -amount))


def written_off(invoice: str, receivable: Decimal, retainage: Decimal = ZERO) -> Posts:
    """What nobody will pay anymore."""
    return _kept(
        Post(WRITE_OFFS, receivable + retainage), Post(RECEIVABLE, -receivable, invoice),
        Post(RETAINAGE, -retainage, invoice),
    )  # fmt: skip


def released(invoice: str, amount: Decimal) -> Posts:
    """Retainage that is due from now on."""
    return _kept(Post(RECEIVABLE, amount, invoice), Post(RETAINAGE, -amount, invoice))


def taken_for_prompt_payment(invoice: str, amount: Decimal) -> Posts:
    """What an invoice's terms let off because it was paid soon."""
    return _kept(Post(PROMPT, amount), Post(RECEIVABLE, -amount, invoice))
