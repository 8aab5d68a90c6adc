"""A time as a person types it: minutes and seconds, or seconds alone."""

import re

from halfclick.errors import BadInput


def parsed_time(text: str) -> float:
    """Return the seconds a text names: "2:08", "2.08", "208" typed without a mark, or "128 s".

    Three or four digits alone are minutes and seconds, as they stand on a timer.

    Raises:
        BadInput: it is no time.
    """
    cleaned = text.strip().lower()
    seconds = re.fullmatch(r"(\d{1,4})\s*s", cleaned, re.ASCII)
    if seconds:
        return float(seconds[1])
    parted = re.fullmatch(r"(\d{1,2})[:.](\d{2})", cleaned, re.ASCII) or re.fullmatch(
        r"(\d{1,2})(\d{2})", cleaned, re.ASCII
    )
    if parted and int(parted[2]) < 60:
        return int(parted[1]) * 60.0 + int(parted[2])
    if re.fullmatch(r"\d{1,2}", cleaned, re.ASCII):
        return float(cleaned)
    raise BadInput("time.not_a_time", text=text.strip()[:20])
