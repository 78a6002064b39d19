"""What is kept. A table a class; amounts in cents, moments in UTC, documents as JSON."""

from portal.store.tables.agreements import Agreement, AgreementEnd
from portal.store.tables.bank import BankHeading, BankLine, BankList
from portal.store.tables.base import Base
from portal.store.tables.billing import BillingTermsRow, DepositUse, RetainagePaper
from portal.store.tables.books import ClosedMonth, LedgerEntry, Posting
from portal.store.tables.chasing import BilledInterest, Dispute, PaymentPromise, Reminder, Statement
from portal.store.tables.consents import Consent, PurchaserLink
from portal.store.tables.crew_days import CalendarAddress, CalendarStop, DayOff, TechnicianWeek
from portal.store.tables.field import FieldEntry, Photo
from portal.store.tables.lists import ListHeading, LotIdentity, LotList, LotListRow
from portal.store.tables.lots import Lot, Subdivision, Takeoff
from portal.store.tables.margins import Margin
from portal.store.tables.owed import (
    Adjustment,
    Allocation,
    CreditNote,
    Invoice,
    InvoiceLot,
    NumberSeries,
    Payment,
    Warranty,
)
from portal.store.tables.packages import Package, PackageCover
from portal.store.tables.people import Company, Person, SignIn
from portal.store.tables.plans import HousePlan, PlanEdition
from portal.store.tables.quotes import Edition, Extra, Quote, Revision
from portal.store.tables.records import ForgottenRecord, RecordPage
from portal.store.tables.register import (
    Holder,
    LinkAsked,
    LostNumber,
    Recall,
    RecallLetter,
    RecallRecord,
    RegisterContainer,
    RegisterLine,
    Renewal,
    Transfer,
)
from portal.store.tables.seals import Certificate, SealedPaper
from portal.store.tables.taxes import Jurisdiction, TaxEdition, TaxExemption, TaxPlace
from portal.store.tables.trail import History, HistoryHead, Letter, OnceKey, Paper, Try
from portal.store.tables.trouble import Addition, Trouble, TroublePhoto, TroubleStep
from portal.store.tables.work import Job, TreatmentRecord

__all__ = [
    "Addition",
    "Adjustment",
    "Agreement",
    "AgreementEnd",
    "Allocation",
    "BankHeading",
    "BankLine",
    "BankList",
    "Base",
    "BilledInterest",
    "BillingTermsRow",
    "CalendarAddress",
    "CalendarStop",
    "Certificate",
    "ClosedMonth",
    "Company",
    "Consent",
    "CreditNote",
    "DayOff",
    "DepositUse",
    "Dispute",
    "Edition",
    "Extra",
    "FieldEntry",
    "ForgottenRecord",
    "History",
    "HistoryHead",
    "Holder",
    "HousePlan",
    "Invoice",
    "InvoiceLot",
    "Job",
    "Jurisdiction",
    "LedgerEntry",
    "Letter",
    "LinkAsked",
    "ListHeading",
    "LostNumber",
    "Lot",
    "LotIdentity",
    "LotList",
    "LotListRow",
    "Margin",
    "NumberSeries",
    "OnceKey",
    "Package",
    "PackageCover",
    "Paper",
    "Payment",
    "PaymentPromise",
    "Person",
    "Photo",
    "PlanEdition",
    "Posting",
    "PurchaserLink",
    "Quote",
    "Recall",
    "RecallLetter",
    "RecallRecord",
    "RecordPage",
    "RegisterContainer",
    "RegisterLine",
    "Reminder",
    "Renewal",
    "RetainagePaper",
    "Revision",
    "SealedPaper",
    "SignIn",
    "Statement",
    "Subdivision",
    "Takeoff",
    "TaxEdition",
    "TaxExemption",
    "TaxPlace",
    "TechnicianWeek",
    "Transfer",
    "TreatmentRecord",
    "Trouble",
    "TroublePhoto",
    "TroubleStep",
    "Try",
    "Warranty",
]
