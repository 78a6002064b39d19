"""What an invoice or a credit note says to machines: the semantic model of EN 16931-1, without a syntax."""

from portal.core.machine.model import Category, Charge, MachineLine, MachinePaper, Party, TaxGroup
from portal.core.machine.of_papers import summary_of

__all__ = ["Category", "Charge", "MachineLine", "MachinePaper", "Party", "TaxGroup", "summary_of"]
