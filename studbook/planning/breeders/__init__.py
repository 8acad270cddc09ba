"""Who may breed: what speaks for and against each bird, what goes with it, and the best set to keep."""
