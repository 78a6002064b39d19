"""Whether a warranty may be handed on, by its terms and as it stands."""

from __future__ import annotations

from datetime import date

from portal.core.documents.parties import Transfer
from portal.core.words import Said, say


def against(
    transfer: Transfer | None, state: str, made: int, since: date, closed_on: date, today: date
) -> tuple[str, Said] | None:
    """What stands against handing it on, and at which field; None where nothing does.

    `made` counts the transfers so far, `since` is the day the present holder came to it. Terms that say
    nothing of transfers forbid none.
    """
    if state == "void":
        return "", say("The warranty is void: there is nothing to hand on.")
    if state == "expired":
        return "", say("The warranty has expired: there is nothing to hand on.")
    if transfer is not None and transfer.most == 0:
        return "", say("By its terms it stays with the first owner of the house and cannot be handed on.")
    if transfer is not None and transfer.most is not None and made >= transfer.most:
        return "", say("By its terms it can be handed on {most} times at most, and it has been.",
                       most=transfer.most)  # fmt: skip
    if closed_on > today:
        return "closed_on", say("{day} is still to come: hand it on once the house is sold.", day=closed_on)
    if closed_on < since:
        return "closed_on", say("The holder before has had it only since {day}.", day=since)
    if transfer is not None and transfer.days is not None and (today - closed_on).days > transfer.days:
        return "closed_on", say(
            "By its terms the office is to be told within {days} days of the sale; that was {day}.",
            days=transfer.days, day=closed_on,
        )  # fmt: skip
    return None


def waits_for_office(transfer: Transfer | None) -> bool:
    """Whether somebody of the office has to see something, or take a fee, before the buyer is asked."""
    return transfer is not None and bool(transfer.evidence or transfer.fee)
