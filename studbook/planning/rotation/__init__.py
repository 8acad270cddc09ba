"""Rotation: pens as families between which cockerels move on, followed over the years."""
