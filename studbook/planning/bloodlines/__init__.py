"""Is the line narrowing? Founders and what is left of them, kinship, inbreeding by year, and calling birds home.

`measuring` makes the `report` from a snapshot, `telling` puts it into sentences, each with its method;
`calling_home` looks for birds elsewhere that carry what the flock is losing, `origins` tries an assumed
relationship before it is applied. Nothing here knows the window.
"""
