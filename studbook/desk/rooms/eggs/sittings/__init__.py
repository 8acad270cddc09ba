"""The page Sittings: eggs set under a broody or in a machine, from the setting to the chicks in the book."""
