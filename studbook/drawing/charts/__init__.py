"""Charts of a flock: what is drawn, its numbers as a table, and the drawing itself as SVG.

A chart is a frozen dataclass of numbers and names. It gives its numbers by ``table`` and is painted by
``draw(canvas, …)`` through `draw_chart`, at the width it is asked for, in light or in dark. No plotting
library stands behind it: four kinds of chart need no more than lines, bands, dots and bars, painted with
the same canvas, typefaces and colours as the family trees.
"""
