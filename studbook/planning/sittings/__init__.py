"""Sittings as a keeper asks about them: what is due, what lives, what to mind, and whose the eggs are."""
