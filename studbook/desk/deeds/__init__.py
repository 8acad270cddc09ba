"""The forms of one deed each that several rooms ask: moving, mating, setting apart, a trial, a mark, a status."""
