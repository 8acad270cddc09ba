"""Who may breed: each bird with all that speaks for and against it, and what is lost if it goes."""
