"""The diary in the Yard: what is due, ticked with one key; who is apart; the keeper's own jobs."""
