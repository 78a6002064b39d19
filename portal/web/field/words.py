"""What the field pages' script says, in the reader's language: sentences with {names} to be filled in."""

from __future__ import annotations

from flask_babel import gettext as _


def words() -> dict[str, str]:
    """The sentences by name."""
    return {
        "all-sent": _("All is sent."),
        "to-send": _("Still to be sent: {n}. Kept on this phone until there is a signal."),
        "sending": _("Sending: {n} left."),
        "no-signal": _("No signal. Still to be sent: {n}, kept on this phone."),
        "sign-in": _("Your sign-in is over. Sign in again to send {n}: nothing is lost."),
        "sign-in-link": _("Sign in"),
        "other-person": _("Somebody else is signed in. What is kept here is sent when you sign in again."),
        "others-here": _("Somebody else's entries are still on this phone, and sent when they sign in."),
        "not-yours": _("This stop is no longer yours. What you entered stays here; call the office."),
        "refused": _("The office's side did not take: {says}"),
        "late": _("This came after the stop was marked treated. The office sees it beside the record."),
        "full": _("This phone is full: what you just entered is not kept. Free some room, enter it again."),
        "nearly-full": _("This phone is nearly full. All is kept so far; free some room before you go on."),
        "clock": _("This phone's clock is {n} minutes off. Its times stay as they are; the record says so."),
        "differs": _("Two phones entered different things: {values}. The office picks one of them."),
        "wait": _("{where}: second coat in"),
        "due": _("{where}: second coat may start"),
        "running": _("{where}: {coat} since {time}"),
        "next": _("Spray next: {where}, {coat}."),
        "next-wait": _("Nothing to spray before {time}: {where} has to dry."),
        "done": _("All coats are on."),
        "first": _("first coat"), "second": _("second coat"), "interior": _("Interior walls"),
        "start": _("Start"), "stop": _("Stop"),
        "early": _("The second coat may start at {time}: the first has to dry."),
        "before": _("Nothing is sprayed before this is done: {step}."),
        "photo-kept": _("Photo kept on this phone."),
        "photo-words": _("What the photo shows"),
        "photo-bad": _("This is no photo that can be read. Take it once more."),
        "not-before": _("Not before {time}: the first coat has to dry."),
        "ready": _("Ready for no signal: {n} stops."), "ready-one": _("Ready for no signal: 1 stop."),
        "not-ready": _("Not ready for no signal: {n} of {all} stops are kept on this phone."),
        "waiting-here": _("Not sent yet, on this phone: {n}."),
        "no-sign-out": _("Signing out needs a signal: what is kept on this phone stays until then."),
        "mark-kept": _("Kept: marked treated as soon as all is sent."),
        "missing": _("It cannot be marked treated yet. Missing or not right:"),
        "scan-none": _("No code was read. Type the lot number."),
        "step-done": _("done"), "step-next": _("next"), "step-open": _("open"),
    }  # fmt: skip
