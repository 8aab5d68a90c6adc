"""What a person can ask for, one verb a module."""
