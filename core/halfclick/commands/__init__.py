"""The command line: the same services for scripts and for machines without a screen."""
