"""Who is in which pen and is it well; what an exchange of cocks means; whose an egg is, in words.

Plain functions of a snapshot and a day: the window, papers and tests ask the same ones.
"""
