"""An address as two people would write it differently and mean the same house.

What is compared is house number, street and the first five digits of the ZIP code: case,
punctuation and accents do not count, and the usual words of a street stand for their
abbreviations (“North Ferry Oak Court” is “N FERRY OAK CT”). The abbreviations are those that
the postal service of the United States publishes (Publication 28, appendix C; from memory).
A town's name is left out: it is written in too many ways, and the ZIP code says where it is.
"""

from __future__ import annotations

import unicodedata

SHORT = {
    "ALLEY": "ALY", "AVENUE": "AVE", "AV": "AVE", "BEND": "BND", "BOULEVARD": "BLVD", "BRIDGE": "BRG",
    "BROOK": "BRK", "BYPASS": "BYP", "CENTER": "CTR", "CIRCLE": "CIR", "COURT": "CT", "COVE": "CV",
    "CREEK": "CRK", "CRESCENT": "CRES", "CROSSING": "XING", "DRIVE": "DR", "ESTATE": "EST",
    "ESTATES": "ESTS", "EXPRESSWAY": "EXPY", "EXTENSION": "EXT", "FERRY": "FRY", "FIELD": "FLD",
    "FIELDS": "FLDS", "FORD": "FRD", "FOREST": "FRST", "FORT": "FT", "GARDEN": "GDN", "GARDENS": "GDNS",
    "GATEWAY": "GTWY", "GLEN": "GLN", "GREEN": "GRN", "GROVE": "GRV", "HARBOR": "HBR", "HEIGHTS": "HTS",
    "HIGHWAY": "HWY", "HILL": "HL", "HILLS": "HLS", "HOLLOW": "HOLW", "ISLAND": "IS", "JUNCTION": "JCT",
    "KNOLL": "KNL", "LAKE": "LK", "LANDING": "LNDG", "LANE": "LN", "MANOR": "MNR", "MEADOW": "MDW",
    "MEADOWS": "MDWS", "MILL": "ML", "MILLS": "MLS", "MOUNT": "MT", "MOUNTAIN": "MTN", "ORCHARD": "ORCH",
    "PARKWAY": "PKWY", "PLACE": "PL", "PLAZA": "PLZ", "POINT": "PT", "RIDGE": "RDG", "RIVER": "RIV",
    "ROAD": "RD", "ROUTE": "RTE", "SAINT": "ST", "SHORE": "SHR", "SPRING": "SPG", "SPRINGS": "SPGS",
    "SQUARE": "SQ", "STATION": "STA", "STREAM": "STRM", "STREET": "ST", "SUMMIT": "SMT", "TERRACE": "TER",
    "TRACE": "TRCE", "TRAIL": "TRL", "TURNPIKE": "TPKE", "VALLEY": "VLY", "VIEW": "VW", "VILLAGE": "VLG",
    "WELLS": "WLS",
    "NORTH": "N", "EAST": "E", "SOUTH": "S", "WEST": "W", "NORTHEAST": "NE", "NORTHWEST": "NW",
    "SOUTHEAST": "SE", "SOUTHWEST": "SW",
}  # fmt: skip
LONGEST = 240


def plain(text: str) -> str:
    """Capital letters and digits, one space for whatever else stands between them."""
    apart = unicodedata.normalize("NFKD", text.upper().replace("'", "").replace("’", ""))
    bare = "".join(c for c in apart if not unicodedata.combining(c))
    return " ".join("".join(c if c.isalnum() else " " for c in bare).split())


def place_key(house_number: str, street: str, postal_code: str) -> str:
    """The house as compared."""
    number = plain(house_number).replace(" ", "")
    words = " ".join(SHORT.get(word, word) for word in plain(street).split())
    digits = "".join(c for c in postal_code if c in "0123456789")
    return f"{number}|{words}|{digits[:5] or plain(postal_code)}"[:LONGEST]
