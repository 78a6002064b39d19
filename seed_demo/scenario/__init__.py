"""The demo's scenario: an invented town, office, builders and a subdivision of 14 lots in every stage.

Entered through the acts alone, as people would, by a clock that runs through the
last months up to today. The same day gives the same demo, numbers included.
"""

from seed_demo.scenario.story import load, sign_ins

__all__ = ["load", "sign_ins"]
