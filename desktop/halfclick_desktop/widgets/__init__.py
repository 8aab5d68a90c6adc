"""Widgets: take values, emit signals."""
