"""The window: shows and asks, computes nothing."""
