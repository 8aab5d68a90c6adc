"""A text in one of the roles that the style sheet knows."""

from PySide6.QtWidgets import QLabel


def styled(role: str, text: str = "", *, wrap: bool = True) -> QLabel:
    """Return a label in a role of the style sheet; it breaks its lines unless told not to."""
    label = QLabel(text)
    label.setProperty("role", role)
    label.setWordWrap(wrap)
    return label


def typed(role: str, *, wrap: bool = True) -> QLabel:
    """Return a label for what a person typed: no sign in it is taken for markup."""
    from PySide6.QtCore import Qt  # loaded late: no page needs it for its first paint

    label = styled(role, wrap=wrap)
    label.setTextFormat(Qt.TextFormat.PlainText)
    return label
