"""The journal's revisions, oldest first; none imports the tables as they stand now."""
