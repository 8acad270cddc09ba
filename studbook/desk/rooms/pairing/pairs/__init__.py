"""Whom with whom: the matrix, the sentences beside it, and the pair one has chosen."""
