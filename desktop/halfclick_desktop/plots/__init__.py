"""Plots: take records, paint them, and say the same in a sentence and a table."""
