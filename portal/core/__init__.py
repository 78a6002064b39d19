"""The rules of the trade and of the money, pure: no web, no database, no clock, no luck, no environment.

Dates and random draws arrive as arguments. A function here takes records and
answers records; it neither logs, saves nor prints.
"""
