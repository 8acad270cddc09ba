"""The diary: what is due in the yard on which day, derived from the record and from the keeper's own jobs."""
