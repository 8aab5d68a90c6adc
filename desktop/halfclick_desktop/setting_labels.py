"""What an axis of settings says at its steps, where zeros may have moved under their texts."""

from collections.abc import Sequence

from halfclick.wording import Wording


def setting_labels(settings: Sequence[tuple[int, str]], words: Wording) -> dict[int, str]:
    """Return texts by steps; a text that another zero gave too says that it is earlier.

    Args:
        settings: steps and the text as it was written, in the order they were used.
        words: the catalogue.
    """
    texts: dict[int, str] = {}
    last_used: dict[int, int] = {}
    for place, (steps, text) in enumerate(settings):
        texts[steps], last_used[steps] = text, place
    newest: dict[str, int] = {}
    for steps, text in texts.items():
        if text not in newest or last_used[steps] > last_used[newest[text]]:
            newest[text] = steps
    return {
        steps: text if newest[text] == steps else words("grind_strip.earlier", setting=text)
        for steps, text in texts.items()
    }


def labels_with_room(labels: dict[int, str], most: int) -> dict[int, str]:
    """Return the labels that stand apart enough to be read, the ends of the axis first.

    Args:
        labels: texts by steps.
        most: how many lines of text the axis has room for.
    """
    if len(labels) < 2 or not most:
        return labels
    low, high = min(labels), max(labels)
    apart = (high - low) / most
    kept: list[int] = []
    for steps in (high, low, *sorted(labels)):
        if all(abs(steps - other) >= apart for other in kept):
            kept.append(steps)
    return {steps: labels[steps] for steps in sorted(kept)}
