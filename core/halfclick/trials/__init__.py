"""Blind trials as mathematics: designs, effect sizes, and verdicts that are safe to look at."""
