"""The years ahead: the flock simulated forward under policies, side by side."""
