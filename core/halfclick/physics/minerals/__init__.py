"""The chemistry of brew water: what is dissolved, what to add, and what it does when hot."""
