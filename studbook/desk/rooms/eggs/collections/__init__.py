"""Collections: the eggs of a week, pen by pen and day by day."""
