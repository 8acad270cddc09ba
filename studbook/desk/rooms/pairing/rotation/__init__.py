"""The page Rotation: pen families between which cockerels move on."""
