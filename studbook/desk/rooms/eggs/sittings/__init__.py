"""Sittings: what is set, under whom, and when it is due."""
