"""Sheets to hang in the yard, with blanks for a pencil: pen card, egg tally, sitting card, evening round.

Each kind is a module: a snapshot becomes frozen content, and the content becomes the data of its template.
"""
