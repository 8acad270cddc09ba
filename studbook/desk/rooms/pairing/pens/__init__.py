"""Which pens: the cocks and hens of next season put together, proven best or with the gap shown."""
