"""How many people a yes to a quote takes, and whose yes counts.

A company can require a second person over an amount. Then the first yes is kept, and a yes of somebody
else completes it. A yes through a mailed link is somebody's outside the company: it can be the first of
two, never the one that completes, and whoever mailed the link cannot complete it either, since both would
rest on the same person's word.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from portal.core.errors import refuse


@dataclass(frozen=True, slots=True)
class Yes:
    """Somebody's yes to exactly one revision.

    `person_id` is who is signed in, None where it came through a mailed link; `mailed_by` is then the
    person who had the link mailed.
    """

    name: str
    email: str
    fingerprint: str
    person_id: str | None = None
    mailed_by: str | None = None

    @property
    def through_link(self) -> bool:
        """Whether it came through a mailed link."""
        return self.person_id is None


def takes_two(amount: Decimal, over: Decimal | None) -> bool:
    """Whether an amount is over what one person of a company may accept alone."""
    return over is not None and amount > over


def same_person(one: Yes, other: Yes) -> bool:
    """Whether two yeses are one person's: by who signed in, or by the mail address."""
    signed = one.person_id is not None and one.person_id == other.person_id
    return signed or one.email.strip().lower() == other.email.strip().lower()


def completes(yes: Yes, first: Yes | None, amount: Decimal, over: Decimal | None) -> bool:
    """Whether this yes makes the acceptance whole; False where it is the first of two.

    Raises `Refused` where a first yes is there and this one cannot be the second.
    """
    if not takes_two(amount, over):
        return True
    if first is None or first.fingerprint != yes.fingerprint:
        return False
    if same_person(yes, first):
        raise refuse("Your yes is kept already. The second has to be somebody else’s.")
    if yes.through_link:
        raise refuse(
            "One yes is given already. The second has to come from somebody of the company who signs in."
        )
    if first.through_link and first.mailed_by == yes.person_id:
        raise refuse(
            "The first yes came through a link that you had mailed. The second has to be somebody else’s."
        )
    return True
