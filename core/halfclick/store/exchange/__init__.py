"""Out of a journal and into it: as one JSON document, and as tables."""
