"""From marks and clock to the one change: the rule set and the diagnosis."""
