"""The use cases: one function a thing somebody does.

Each opens and closes one transaction, decides whether this person may do this to
this record, and leaves the change, its line of history and its letters together.
No Flask, no SQLAlchemy, no WeasyPrint, no SMTP in here: what an act needs from
outside comes in with `Parts`.
"""
