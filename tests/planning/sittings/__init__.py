"""Sittings worked out from the record."""
