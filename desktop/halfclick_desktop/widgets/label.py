"""A text in one of the roles that the style sheet knows."""

from PySide6.QtWidgets import QLabel


def styled(role: str, text: str = "", *, wrap: bool = True) -> QLabel:
    """Return a label in a role of the style sheet; it breaks its lines unless told not to."""
    label = QLabel(text)
    label.setProperty("role", role)
    label.setWordWrap(wrap)
    return label
