"""Papers: frozen documents to sheets of the drawing set, as PDF. The only room with WeasyPrint.

A paper is made from its document and the few values beside it, and from nothing
else: it asks no database, no clock and no network. The same data gives the same bytes.
"""

from portal.papers.maker import Papers

__all__ = ["Papers"]
