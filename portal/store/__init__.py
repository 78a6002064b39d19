"""The store: the only room with SQLAlchemy and Alembic.

`tables/` says what is kept, one file of queries a noun finds and adds it,
`reads.py` answers frozen rows for lists, `transaction.py` opens and closes the
one transaction of an act, `blobs.py` keeps papers under their SHA-256.
"""
