"""Studbook: the record, the numbers and the papers of a small breeding flock."""

__version__ = "0.1.0"
