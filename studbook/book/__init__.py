"""The record: one book is one SQLite file, and every change goes through one door.

`records` holds the frozen rows the rest of the program works with, `errors` what a keeper can be told,
`opening` makes and opens books, `changes` names what can be done to one. Only the modules below import
SQLAlchemy; `records` and `errors` need nothing but the standard library.
"""
