"""The record of the year: pens and stays, eggs and sittings, trials, birds apart, jobs.

`rows` holds the frozen rows every room works with, `models` their tables, `rules` what the record never
allows; `whose_egg` asks `studbook.season` who the parents of eggs can be.
"""
