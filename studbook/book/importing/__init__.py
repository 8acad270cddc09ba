"""Lists of birds from spreadsheets: a file becomes a table, the table a plan, the plan one change.

`reading` turns bytes into a table of texts, `values` and `written_dates` turn texts into what they
mean, `planning` settles who is who and finds everything that is wrong before anything is saved.
"""
