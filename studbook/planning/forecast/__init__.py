"""The years ahead: the flock as it is bred on under a few policies, and when to buy in and from where."""
