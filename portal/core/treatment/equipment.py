"""What goes on the truck beside product. Common practice, no source; the label goes before it."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from portal.core.documents.load import Item
from portal.core.words import say

WORDS = {
    "sprayers": say("Sprayers, one of them set aside for mix with dye"),
    "spare": say("Spare nozzles, seals and strainers"),
    "brushes": say("Dry brushes, for wood beside what is finished"),
    "rollers": say("Dry rollers"),
    "shields": say("Spray shields, for finished wood, windows and doors"),
    "covers": say("Covers for outlet and low-voltage boxes, about one to 12 ft of wall; taken off afterward"),
    "coveralls": say("Coveralls, a set for each person, and one to change"),
    "gloves": say("Gloves as the label names them, pairs"),
    "eyes": say("Eye protection"),
    "respirator": say("Respirators with the filter the label names, for the crawl space"),
    "drill": say("Drill and mixer"),
    "bucket": say("Bucket with gallon marks"),
    "measure": say("Measuring cup for the dye, in fluid ounces"),
    "bags": say("Bags for emptied, rinsed containers"),
    "label": say("The product’s label and safety data sheet"),
}
FEET_TO_A_BOX = 12


def equipment(sprayers: int, feet: Fraction, *, crawl_space: bool) -> tuple[Item, ...]:
    """For so many people spraying at once, and feet of wall in all houses of the day.

    A sprayer that had dye in it marks whatever it sprays next: one more than is sprayed with is taken along.
    """
    counts = {
        "sprayers": sprayers + 1, "spare": None, "brushes": 2 * sprayers, "rollers": sprayers,
        "shields": 2 * sprayers, "covers": ceil(feet / FEET_TO_A_BOX), "coveralls": sprayers + 1,
        "gloves": 2 * sprayers, "eyes": sprayers, "respirator": sprayers if crawl_space else 0,
        "drill": 1, "bucket": 1, "measure": 1, "bags": None, "label": 1,
    }  # fmt: skip
    return tuple(Item(key, count) for key, count in counts.items() if count != 0)
