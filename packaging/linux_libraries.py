"""Which system libraries Qt needs on Linux, which are missing, and the packages that hold them.

Found by trying in a minimal Debian 12: each was hidden in turn and Qt then failed to start.
"""

import ctypes
from collections.abc import Callable, Mapping

# For drawing at all, with or without a screen.
FOR_QT = {
    "libglib-2.0.so.0": "libglib2.0-0",
    "libgthread-2.0.so.0": "libglib2.0-0",
    "libGL.so.1": "libgl1",
    "libEGL.so.1": "libegl1",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libdbus-1.so.3": "libdbus-1-3",
    "libfontconfig.so.1": "libfontconfig1",
}
# For a window on an X11 screen besides; missing one of these, Qt aborts and blames the first.
FOR_SCREEN = {
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-shape.so.0": "libxcb-shape0",
}


def loads(library: str) -> bool:
    """Return whether the system can load a library."""
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def missing_packages(*, for_screen: bool, loads: Callable[[str], bool] = loads) -> list[str]:
    """Return the Debian packages of the libraries that do not load, each once, in order."""
    wanted = {**FOR_QT, **(FOR_SCREEN if for_screen else {})}
    return list(dict.fromkeys(wanted[library] for library in wanted if not loads(library)))


def screen_answers(environment: Mapping[str, str]) -> bool:
    """Return whether a screen can be reached: Qt aborts where none can.

    A Wayland screen is taken at its word; an X11 screen is asked.
    """
    if environment.get("WAYLAND_DISPLAY"):
        return True
    if not environment.get("DISPLAY"):
        return False
    xcb = ctypes.CDLL("libxcb.so.1")
    xcb.xcb_connect.restype = ctypes.c_void_p
    connection = ctypes.c_void_p(xcb.xcb_connect(None, None))
    refused: int = xcb.xcb_connection_has_error(connection)
    xcb.xcb_disconnect(connection)
    return refused == 0
