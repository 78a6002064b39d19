"""What can be done to a lot or a person, in words: every line of history uses one of these verbs."""

from __future__ import annotations

from portal.core.words import say

VERBS = {
    "company added": say("added a builder"),
    "invited": say("invited somebody"),
    "joined": say("took up the invitation"),
    "password set": say("set a new password"),
    "edition": say("entered a new edition"),
    "asked": say("asked for a price"),
    "asked many": say("asked for the prices in a list"),
    "changed": say("changed what was asked"),
    "asked again": say("asked again"),
    "siding day": say("gave the day siding starts"),
    "started": say("started the quote"),
    "corrected": say("corrected the takeoff"),
    "extra added": say("added an extra line"),
    "extra dropped": say("took an extra line off"),
    "approved": say("approved the quote"),
    "sent": say("sent the quote"),
    "revised": say("began a new revision"),
    "superseded": say("a newer revision took its place"),
    "accepted": say("accepted the quote"),
    "declined": say("declined the quote"),
    "lapsed": say("the quote lapsed"),
    "booked": say("booked the treatment"),
    "moved": say("moved the treatment"),
    "called off": say("called the treatment off"),
    "rebooked": say("put the treatment back to be booked"),
    "arrived": say("arrived on site"),
    "treated": say("marked it treated"),
    "invoiced": say("the invoice was issued"),
    "signed off": say("signed the record off"),
    "paid": say("recorded a payment"),
    "held": say("the warranty record was made, held"),
    "kept held": say("kept the warranty held"),
    "in force": say("the warranty came into force"),
    "void": say("made the warranty void"),
    "expired": say("the warranty expired"),
}
