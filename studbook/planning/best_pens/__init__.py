"""Which pens: the cocks and hens of next season, put together to proven optimality."""
