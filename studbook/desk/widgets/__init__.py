"""Widgets every room shares, one module each."""
