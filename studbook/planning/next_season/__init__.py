"""Planning backwards: from the young birds wanted next autumn to the eggs, the sittings and the dates."""
