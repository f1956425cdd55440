"""A second opinion: the whole judgement of the rules for rigid sheet, written by hand from the trade's own page.

Nothing here imports the program or opens its rules. Every number stands beside the row of the trade page it is from.
Slow and obvious is right.
"""
