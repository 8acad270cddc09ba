"""The page How many eggs: a season planned backwards."""
