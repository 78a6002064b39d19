"""The fields of each kind of edition: their paths, their words, and how they are entered."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from flask_babel import lazy_gettext as _

from portal.core.pricing.rate_rows import MOST_BANDS, MOST_DISTANCES, MOST_EXTRAS
from portal.core.treatment.product import MOST_CONTAINERS


@dataclass(frozen=True, slots=True)
class Entry:
    """One field. `at`: its path, as the engine's readers name it; `how`: text, number, lines or choice."""

    at: str
    label: Any
    how: str = "number"
    unit: Any = ""
    help: Any = ""
    choices: tuple[tuple[str, Any], ...] = ()
    #: A heading that stands above it.
    head: Any = ""


@dataclass(frozen=True, slots=True)
class Rows:
    """Fields that repeat: at[0].key, at[1].key, up to `most`. They stand behind the field of path `after`."""

    at: str
    legend: Any
    help: Any
    columns: tuple[Entry, ...]
    most: int
    after: str


KINDS = {
    "rates": _("Rates"), "product": _("Product"), "crew": _("Crew figures"), "terms": _("Warranty terms"),
    "firm": _("The firm"),
}  # fmt: skip

HOLDS_FROM = _("Holds from")
DOLLARS, A_FOOT, PERCENT, MINUTES = "$", _("$ a foot"), "%", _("minutes")
FEET_AN_HOUR = _("feet an hour")
CLASSES = (("unclassified", _("unclassified")), ("restricted use", _("restricted use")))
RELEASES = (("paid", _("full payment of the invoice")), ("hand", _("the office, by hand")))
NOTICES = (
    ("5x3", _("5 by 3 inches")),
    ("6x4", _("6 by 4 inches")),
    ("7x5", _("7 by 5 inches")),
)
SLICES_OVER = (
    ("lot", _("the feet of each lot by itself")),
    ("package", _("the feet of all lots of a package together")),
)
OVER_SUM = _(
    "Lots that a builder puts together into a package can be priced as one long job: the slices run over the "
    "sum of their feet, and each lot pays its part of that by its feet. Second coat, house wrap, call-out "
    "and the minimum charge stay each lot's own."
)

NARROWS = _(
    "What is not covered and leaves the rest of the promise whole, one thing a line: such as framing that a "
    "renewal’s inspection could not reach."
)
REMEDIES = (
    ("", _("as the lines above say")), ("retreat", _("treating again, and no repair")),
    ("repair", _("treating again, and repair up to an amount")), ("none", _("nothing: a record only")),
)  # fmt: skip
RENEWALS = _("How often at most. Left empty, or 0: its last day is the end of it.")
TRANSFERS = (
    ("", _("the terms say nothing of it")), ("always", _("yes, with every sale of the house")),
    ("times", _("yes, so many times at most")), ("never", _("no, it stays with the first owner")),
)  # fmt: skip
EVIDENCE = _("What the office wants to see, such as a page of the deed with the names and the day.")
#: Of the terms, what other acts go by: what is done, how they are renewed, how they are handed on.
TERMS_KEPT = (
    Entry("remedy", _("What the office does"), "choice", choices=REMEDIES, head=_("What is done under them")),
    Entry("repair_up_to", _("Repair up to"), unit=DOLLARS, help=_("Only where it repairs.")),
    Entry("renewals", _("It can be renewed"), unit=_("times"), help=RENEWALS, head=_("Renewed")),
    Entry("renewal_years", _("Each renewal lasts"), unit=_("years")),
    Entry("renewal_fee", _("Fee of a renewal"), unit=DOLLARS),
    Entry("renewal_inspection", _("The house is looked at first"), "choice",
          choices=(("no", _("no")), ("yes", _("yes")))),
    Entry("renewal_days_before", _("Offered before the last day"), unit=_("days")),
    Entry("renewal_days_after", _("Taken up at the latest after it"), unit=_("days")),
    Entry("transfers", _("It can be handed on"), "choice", choices=TRANSFERS, head=_("Handed on")),
    Entry("transfer_most", _("At most"), unit=_("times"), help=_("Only where there is a most.")),
    Entry("transfer_days", _("The office is told after the sale within"), unit=_("days")),
    Entry("transfer_fee", _("Fee for handing it on"), unit=DOLLARS),
    Entry("transfer_evidence", _("Evidence"), "text", help=EVIDENCE),
)  # fmt: skip

SMALL = _("A small lot may have a minimum charge of its own, lower than the usual one. 0 ft is none.")
CRAWL = _("Charged where the builder says that the house stands on a crawl space.")
CALL_OUT = _(
    "Where distances are entered below, this one stands only for lots whose miles nobody entered yet."
)
SAME_DAY_CHOICES = (
    ("each", _("every lot pays its own call-out")), ("once", _("the first lot’s call-out stands for all")),
)  # fmt: skip
SAME_DAY_SAYS = _(
    "It stands on the quote, and is taken off the invoice of each lot that is marked treated after another "
    "one of its subdivision on that day. The minimum charge holds."
)
COUNTED_BY = (("piece", _("piece")), ("foot", _("foot")))
LISTED = _(
    "Work beside the treatment. The office picks it on a quote and says how many pieces or feet. Empty rows "
    "are left out."
)
RUNS_FROM = (("issue", _("the day of the invoice")), ("month end", _("the end of its month")))
STAGES = (("lot", _("each lot, on the day it is treated")), ("package", _("a package, once it is treated")))
DEPOSIT = _("Of the quote’s total, asked for when it is accepted; it comes off the invoice.")
#: How a builder is billed: of the firm for everybody, and of a builder with terms of its own.
BILLED_BY = (
    Entry("net_days", _("An invoice is due after"), unit=_("days"), head=_("How builders are billed")),
    Entry("due_from", _("Counted from"), "choice", choices=RUNS_FROM),
    Entry("prompt_percent", _("Paid soon, this comes off"), unit=PERCENT),
    Entry("prompt_days", _("Soon is within"), unit=_("days"), help=_("Of the day of the invoice.")),
    Entry("deposit_percent", _("Deposit"), unit=PERCENT, help=DEPOSIT),
    Entry("bill_per", _("There is an invoice for"), "choice", choices=STAGES),
    Entry("retained_percent", _("Held back until it is released"), unit=PERCENT,
          help=_("Of an invoice’s total. Left empty, nothing is held back.")),
    Entry("retained_most", _("Of one invoice at most"), unit=DOLLARS),
)  # fmt: skip

UNKNOWN = _("Left empty it is unknown, and no margin is reckoned. Write 0 where there is none.")
AN_HOUR = _("One person’s wage and all that goes with it. Unknown while it is left empty.")
FLOOR = _("A quote that leaves less of its price takes an owner’s reason. Left empty, there is no floor.")
#: What a job costs: of the firm, for the office alone.
COSTS = (
    Entry("cost_crew_hour", _("An hour of one sprayer"), unit=DOLLARS, help=AN_HOUR,
          head=_("What a job costs the office, which nobody else is shown")),
    Entry("cost_mile", _("A mile driven"), unit=DOLLARS, help=UNKNOWN),
    Entry("cost_job", _("Dye, film and the like, a job"), unit=DOLLARS, help=UNKNOWN),
    Entry("margin_floor", _("Margin floor"), unit=PERCENT, help=FLOOR),
)  # fmt: skip

FIELDS: dict[str, tuple[Entry, ...]] = {
    "rates": (
        Entry("rates.currency", _("Currency"), "text", help=_("Three capital letters, such as USD.")),
        Entry("rates.minimum", _("Minimum charge"), unit=DOLLARS),
        Entry("rates.small_lot_feet", _("A small lot is one under"), unit=_("ft"), help=SMALL),
        Entry("rates.small_lot_minimum", _("Minimum charge of a small lot"), unit=DOLLARS),
        Entry(
            "rates.renewal",
            _("The next term of a warranty"),
            unit=DOLLARS,
            help=_("Never more than the warranty’s own terms named; 0 where they alone say it."),
        ),
        Entry("rates.second_coat_per_foot", _("Second coat where siding is on"), unit=A_FOOT),
        Entry("rates.unwrap_per_foot", _("House wrap pulled back and put up again"), unit=A_FOOT),
        Entry("rates.crawl_space", _("Crawl space, for the job"), unit=DOLLARS, help=CRAWL),
        Entry("rates.crawl_space_per_foot", _("Crawl space, by all feet of the lot"), unit=A_FOOT),
        Entry("rates.call_out", _("Call-out"), unit=DOLLARS, help=CALL_OUT),
        Entry(
            "rates.same_day_call_out",
            _("Same subdivision, same day"),
            "choice",
            choices=SAME_DAY_CHOICES,
            help=SAME_DAY_SAYS,
        ),
        Entry("rates.same_day_off", _("And taken off each further lot of that day"), unit=DOLLARS),
        Entry("rates.discount_percent", _("Discount"), unit=PERCENT),
        Entry("rates.tax_percent", _("Tax"), unit=PERCENT),
        Entry("rates.slices_over", _("The slices run over"), "choice", choices=SLICES_OVER, help=OVER_SUM),
    ),
    "product": (
        Entry("product.name", _("Product"), "text", help=_("As on the container's label.")),
        Entry("registration", _("EPA registration number"), "text", help=_("As on the container's label.")),
        Entry("classification", _("Classification"), "choice", choices=CLASSES),
        Entry("active_ingredient", _("Active ingredient"), "text"),
        Entry("product.feet_per_gallon", _("A gallon of concentrate treats"), unit=_("lineal feet")),
        Entry("product.water_per_concentrate", _("Parts of water to one of concentrate")),
        Entry("product.dye_floz_per_finished_gallon", _("Marking dye in a finished gallon"), unit=_("fl oz")),
        Entry("product.second_coat_share", _("Share of a first coat that a second takes")),
        Entry("product.dry_minutes", _("Drying time before a second coat"), unit=MINUTES),
        Entry("product.first_water_share", _("Share of the water that goes in first")),
        Entry("product.batch_gallons", _("Concentrate in a batch"), unit=_("gal")),
        Entry("product.height_feet", _("Height treated"), unit=_("ft")),
    ),
    "crew": (
        Entry("crew.sprayers", _("Sprayers at work")),
        Entry("crew.setup_minutes", _("Setting up"), unit=MINUTES),
        Entry("crew.cleanup_minutes", _("Cleaning up"), unit=MINUTES),
        Entry("crew.mix_minutes_per_batch", _("Mixing a batch"), unit=MINUTES),
        Entry("crew.prepare_feet_per_hour", _("Preparing"), unit=FEET_AN_HOUR),
        Entry("crew.spray_feet_per_hour", _("Spraying inside"), unit=FEET_AN_HOUR),
        Entry("crew.outside_feet_per_hour", _("Spraying outside"), unit=FEET_AN_HOUR),
        Entry("crew.unwrap_feet_per_hour", _("Pulling back house wrap"), unit=FEET_AN_HOUR),
        Entry("crew.second_coat_feet_per_hour", _("Second coat"), unit=FEET_AN_HOUR),
    ),
    "terms": (
        Entry("title", _("Title"), "text"),
        Entry("years", _("Term"), unit=_("years"), help=_("Leave it empty for the life of the structure.")),
        Entry("covers", _("What it covers"), "lines", help=_("One thing a line.")),
        Entry("voids", _("What would void it"), "lines", help=_("One thing a line.")),
        Entry("narrows", _("What narrows it"), "lines", help=NARROWS),
        Entry("ask", _("Whom to ask, and how"), "text"),
        Entry("notice", _("Notice on the certificate"), "text"),
        Entry("release", _("Brought into force by"), "choice", choices=RELEASES),
        *TERMS_KEPT,
    ),
    "firm": (
        Entry("name", _("Name"), "text"),
        Entry("address", _("Address"), "lines", help=_("As it stands on papers, line by line.")),
        Entry("phone", _("Phone"), "text"),
        Entry("email", _("Mail address"), "text"),
        Entry("license", _("License"), "text"),
        Entry("quote_days", _("A quote holds for"), unit=_("days")),
        Entry(
            "remind_days",
            _("The builder is reminded before it lapses"),
            unit=_("days"),
            help=_("So many days before, once. 0 reminds nobody."),
        ),
        Entry(
            "answer_days",
            _("A report of trouble is first answered within"),
            unit=_("working days"),
            help=_("Counted from the day after the report; days off are passed over."),
        ),
        Entry(
            "forget_days",
            _("A person’s name and addresses are kept beyond their purpose for"),
            unit=_("days"),
            help=_("What is kept of whom stands on the page Privacy. Ask your adviser how long is right."),
        ),
        Entry(
            "days_off",
            _("Days off"),
            "lines",
            help=_(
                "Holidays and other days on which nobody treats, one a line, as 2027-07-05. Saturdays and "
                "Sundays need not be listed. The last good day to book passes over all of them."
            ),
        ),
        Entry(
            "travel_minutes",
            _("The way to a stop"),
            unit=MINUTES,
            help=_(
                "So many minutes are added to each stop where the hours of a technician’s day are filled."
            ),
        ),
        Entry(
            "keep_years",
            _("A treatment record is kept"),
            unit=_("years"),
            help=_(
                "At least 2, and never shorter than its warranty lasts. The longest that a state asks for, "
                "of those we know of, is 5. It counts for records made from then on."
            ),
        ),
        Entry(
            "notice_size",
            _("Size of a posted notice"),
            "choice",
            choices=NOTICES,
            help=_("Ask the state and the town how large it has to be."),
        ),
        *BILLED_BY,
        Entry("retained_limit", _("No builder’s terms hold back more than"), unit=PERCENT),
        Entry(
            "invoice_prefix",
            _("Numbers of invoices begin with"),
            "text",
            help=_("Capital letters and digits. Each has a series of its own every year, without gaps."),
        ),
        Entry("pay_to", _("Pay to"), "text", help=_("It stands on every invoice.")),
        Entry(
            "tax_number",
            _("Number of the registration for sales tax"),
            "text",
            help=_("A taxed invoice has its summary for machines only where this is entered."),
        ),
        *COSTS,
    ),
}

ROWS: dict[str, tuple[Rows, ...]] = {
    "rates": (
        Rows(
            "rates.bands", _("Bands of the price"),
            _("Slices of the lineal feet, each at its own rate. The last one has no end: leave its feet "
              "empty."),
            (Entry("up_to_feet", _("Up to"), unit=_("ft")), Entry("per_foot", _("Rate"), unit=A_FOOT)),
            MOST_BANDS, "rates.currency",
        ),
        Rows(
            "rates.call_out_by_miles", _("Call-out by distance"),
            _("The miles of a subdivision or a lot are entered once, on a quote. The last distance has no "
              "end: leave its miles empty. No row at all: the call-out above stands for every lot."),
            (Entry("up_to_miles", _("Up to"), unit=_("miles")), Entry("charge", _("Call-out"), unit=DOLLARS)),
            MOST_DISTANCES, "rates.call_out",
        ),
        Rows(
            "rates.extras", _("Extras"), LISTED,
            (Entry("name", _("What it is"), "text"),
             Entry("by", _("Counted by the"), "choice", choices=COUNTED_BY),
             Entry("price", _("Price of each"), unit=DOLLARS)),
            MOST_EXTRAS, "rates.same_day_off",
        ),
    ),
    "product": (
        Rows(
            "product.containers", _("Containers it is bought in"), _("Empty rows are left out."),
            (Entry("gallons", _("Holds"), unit=_("gal")), Entry("cost", _("Costs"), unit=DOLLARS)),
            MOST_CONTAINERS, "product.name",
        ),
    ),
}  # fmt: skip


def rows_of(kind: str) -> tuple[Rows, ...]:
    """The fields of a kind that repeat."""
    return ROWS.get(kind, ())
