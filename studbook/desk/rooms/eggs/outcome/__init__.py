"""Outcome: what came of the eggs that were set."""
