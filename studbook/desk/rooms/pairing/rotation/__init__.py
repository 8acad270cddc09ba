"""Rotation: pen families, and whose cockerels go where."""
