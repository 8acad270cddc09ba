"""Eggs: the tally of a week, the eggs on hand for setting, and what came of those that were set."""
