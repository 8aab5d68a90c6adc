"""A brew under way as pure state: steps, targets, slips."""
