"""Registering hatchlings: one form for a whole hatch."""
