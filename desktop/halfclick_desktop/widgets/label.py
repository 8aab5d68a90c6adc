"""A text in one of the roles that the style sheet knows."""

from collections.abc import Iterable

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


def say_state(label: QLabel, sentence: str, *, keeps_place: bool) -> None:
    """Say how numbers stand; its line stays free beside them, so that nothing jumps meanwhile."""
    label.setText(sentence)
    label.setMinimumHeight(label.fontMetrics().height())
    label.setVisible(bool(sentence) or keeps_place)


def put_in(role: str, labels: Iterable[QLabel]) -> None:
    """Put labels in a role of the style sheet; only those in another are polished anew."""
    for label in labels:
        if label.property("role") != role:
            label.setProperty("role", role)
            label.style().polish(label)
