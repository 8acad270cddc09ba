"""Birds that need looking after: those apart, and the fertility trials of cocks, made from a snapshot."""
