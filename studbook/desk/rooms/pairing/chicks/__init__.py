"""How many eggs: back from the young birds wanted next autumn to the eggs to set."""
