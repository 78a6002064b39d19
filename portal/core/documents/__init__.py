"""Frozen documents: what a quote, a treatment record, an invoice and a warranty say, for good.

Each is written once, stored as canonical JSON (RFC 8785) under its SHA-256, and
is all that a paper or a page needs: no paper asks the database again. Amounts
and feet are `Decimal` (feet to two places), times are UTC.
"""

from portal.core.documents.agreement import AgreedBand, AgreementOnQuote
from portal.core.documents.cost import CostDocument, CostPart, LineCost
from portal.core.documents.owed import (
    CreditLine,
    CreditNoteDocument,
    DepositTaken,
    DifferenceLine,
    InterestCharge,
    InvoiceDocument,
    LotOnInvoice,
    RetainageDocument,
)
from portal.core.documents.package import (
    Concentrate,
    Containers,
    CoverLot,
    InPackage,
    LotFeet,
    PackageDocument,
)
from portal.core.documents.pages import RecordPageDocument
from portal.core.documents.parties import (
    Builder,
    Certifier,
    Firm,
    Place,
    ProductEdition,
    Renewal,
    Terms,
    Transfer,
)
from portal.core.documents.promise import WarrantyDocument
from portal.core.documents.quote import ClauseWall, Line, Offer, QuoteDocument, WallAsQuoted
from portal.core.documents.statement import OpenInvoice, StatementDocument, StatementLine
from portal.core.documents.treatment import (
    Amounts,
    FieldSheet,
    TreatedWall,
    TreatmentDocument,
    TreatmentPhoto,
)
from portal.core.documents.writing import fingerprint, from_stored, paper_mark, to_stored
from portal.core.money.tax_table import Exemption, Taxing, TaxPart, TaxRate, TaxTable

__all__ = [
    "AgreedBand",
    "AgreementOnQuote",
    "Amounts",
    "Builder",
    "Certifier",
    "ClauseWall",
    "Concentrate",
    "Containers",
    "CostDocument",
    "CostPart",
    "CoverLot",
    "CreditLine",
    "CreditNoteDocument",
    "DepositTaken",
    "DifferenceLine",
    "Exemption",
    "FieldSheet",
    "Firm",
    "InPackage",
    "InterestCharge",
    "InvoiceDocument",
    "Line",
    "LineCost",
    "LotFeet",
    "LotOnInvoice",
    "Offer",
    "OpenInvoice",
    "PackageDocument",
    "Place",
    "ProductEdition",
    "QuoteDocument",
    "RecordPageDocument",
    "Renewal",
    "RetainageDocument",
    "StatementDocument",
    "StatementLine",
    "TaxPart",
    "TaxRate",
    "TaxTable",
    "Taxing",
    "Terms",
    "Transfer",
    "TreatedWall",
    "TreatmentDocument",
    "TreatmentPhoto",
    "WallAsQuoted",
    "WarrantyDocument",
    "fingerprint",
    "from_stored",
    "paper_mark",
    "to_stored",
]  # fmt: skip
