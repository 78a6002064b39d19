"""Seals: the office's own keys, and what is signed with them. The only room with keys and cryptography.

Two keys are made together. One signs certificates as PDF (PAdES baseline B-B, ECDSA on P-256, with a
certificate that the key signed itself); the other the short text in their QR (Ed25519, RFC 8032). A renewed
pair takes over; of the older ones the public halves stay, so that what they signed can still be checked.
"""

from portal.sealing.keys import Keys
from portal.sealing.seal import Seal

__all__ = ["Keys", "Seal"]
