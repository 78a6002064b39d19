"""Why a lot is put on a day, and why another cannot be kept, in sentences."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from portal.core.crewdays.checks import spelled
from portal.core.crewdays.finding import Found
from portal.core.crewdays.places import CrewDay, Question, Unbooked
from portal.core.words import Said, say


def why_there(lot: Unbooked, place: CrewDay, beside: Sequence[str]) -> tuple[Said, ...]:
    """Why a lot is put on this day. `beside`: names of other lots of its subdivision there on that day."""
    return tuple(_why_there(lot, place, beside))


def _why_there(lot: Unbooked, place: CrewDay, beside: Sequence[str]) -> Iterator[Said]:
    window = lot.window
    if window.insulation_starts:
        yield say("The window shuts on {day}.", day=window.insulation_starts)
    if window.siding_starts and window.before_siding(place.day):
        yield say("It is before siding starts on {day}.", day=window.siding_starts)
    elif window.siding_starts:
        yield say("Siding is on from {day}: no day before it could be had.", day=window.siding_starts)
    if beside:
        yield say("Together with {lots} of the same subdivision.", lots=", ".join(beside))
    if not window.insulation_starts and not window.siding_starts:
        yield say("Nobody gave a day by which it has to be done.")


def why_not(question: Question, found: Found, lot: Unbooked, names: Mapping[str, str]) -> Said:
    """Why a lot has no day. `names` of lots by their keys."""
    over = _of_window(question, lot)
    if over is not None:
        return over
    able = [one for one in question.days if lot.window.holds(one.day)]
    whole = max((one.at_work for one in able), default=0)
    if not whole:
        return say("Nobody is at work on any day of its window.")
    needs = question.takes((lot,), CrewDay("", able[0].day, 0))
    if needs > whole:
        return say(
            "With the way there it takes {needs}, and nobody works longer than {hours} on a day of its "
            "window.",
            needs=spelled(needs), hours=spelled(whole),
        )  # fmt: skip
    most = max(able, key=lambda one: one.left - question.takes((lot,), one))
    if not question.fits(lot, most):
        return say(
            "Its window is too short for the hours left: it takes {needs} with the way, and of what is not "
            "booked yet the most is {left}, on {day}.",
            needs=spelled(question.takes((lot,), most)), left=spelled(max(0, most.left)), day=most.day,
        )  # fmt: skip
    return say(
        "The hours of its window go to {lots}. To keep it too, move one of them or book it by hand.",
        lots=", ".join(_rivals(question, found.placed, lot, names)),
    )  # fmt: skip


def _of_window(question: Question, lot: Unbooked) -> Said | None:
    window = lot.window
    if window.never:
        return say(
            "By the days given there is no open frame: insulation starts on {shut}, and framing is done on "
            "{framed}.", shut=window.insulation_starts, framed=window.framing_done,
        )  # fmt: skip
    if window.shut(question.first):
        return say("Its window is over: insulation starts on {day}.", day=window.insulation_starts)
    if window.too_early(question.last):
        return say("Framing is done on {day}, after the days looked at.", day=window.framing_done)
    return None


def _rivals(
    question: Question, placed: Iterable[tuple[Unbooked, CrewDay]], lot: Unbooked, names: Mapping[str, str]
) -> list[str]:
    """The lots put on days that this one could have had, in the order of the days."""
    return [names[one.key] for one, place in placed if question.fits(lot, place)]
