"""Halfclick: dial in a filter coffee in the fewest cups, honestly; a core that knows no window."""
