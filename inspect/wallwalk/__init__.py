"""wallwalk: may the first sheet go up, and if not, what must be put right, by whom, and when?"""

__version__ = "0.1.0"
