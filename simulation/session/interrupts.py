"""Hears Ctrl-C and the request to end: the first is let through, an impatient hand's next ones are not, and none is lost.

A library may swallow an interrupt that strikes while it is loaded or calls back: so it is raised again, at the next word that
is said (`raise_swallowed`) or after a while, until the command has noticed. From then on nothing is heard any
more, and the program ends at once.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress

#: Seconds after an interrupt in which another one adds nothing, and after which it is raised again if nobody has noticed it.
QUIET = 1.5
#: Seconds that the program may take to end once it was stopped.
AT_THE_MOST = 5.0

_last = float("-inf")
_noticed = False
_raises_again: threading.Timer | None = None


class Interrupt(KeyboardInterrupt):
    """An interrupt by another name: the plain one, where it strikes while a text is executed, ends Python by the signal."""

    def heed(self) -> None:
        """Take note that the command is being stopped."""
        notice()


def asked() -> bool:
    """Return whether the command was asked to stop."""
    return _last > float("-inf")


def raise_swallowed() -> None:
    """Raise an interrupt again that nobody has noticed: what was being loaded when it struck has kept it to itself.

    Raises
    ------
    Interrupt
    """
    if asked() and not _noticed:
        raise Interrupt


def notice() -> None:
    """Note that the command is being stopped: what it still says and closes is left undisturbed."""
    global _noticed
    _noticed = True
    if _raises_again is not None:
        _raises_again.cancel()


@contextmanager
def heard(*, to_the_end: bool = False) -> Iterator[None]:
    """Hear interrupts while the block runs.

    Afterwards signals are heard as before; or, where the program ends then (`to_the_end`), not at all: what it has to say is
    said, and the code that it ends with stands. A handler of Python's would not do: it is taken away before the process is gone.
    """
    global _last, _noticed
    _last, _noticed = float("-inf"), False
    before = {number: signal.getsignal(number) for number in (signal.SIGINT, signal.SIGTERM)}
    tells = sys.unraisablehook

    def tell(swallowed: sys.UnraisableHookArgs) -> None:
        if not isinstance(swallowed.exc_value, Interrupt):  # it struck where nothing can be raised, and comes again
            tells(swallowed)

    sys.unraisablehook = tell
    for number, handler in before.items():
        if handler is not signal.SIG_IGN:  # what a shell runs in the background does not hear Ctrl-C
            signal.signal(number, _hear)
    try:
        yield
    finally:
        notice()  # what was to be raised again is not, once nobody here would hear it
        for number, handler in before.items():
            signal.signal(number, signal.SIG_IGN if to_the_end else handler)
        sys.unraisablehook = tells


def _hear(number: int, *_: object) -> None:
    global _last, _raises_again
    now = time.monotonic()
    if _noticed or now - _last < QUIET:
        return
    _last = now
    _raises_again = threading.Timer(QUIET + 0.1, _again, [number])
    _raises_again.daemon = True
    _raises_again.start()
    raise Interrupt


def _again(number: int) -> None:
    if not _noticed:
        with suppress(ValueError):
            signal.raise_signal(number)


def end_at_once(code: int) -> None:
    """End what a stopped command has left at work, and see to it that the program ends even if something still waits."""
    for child in multiprocessing.active_children():
        child.kill()
    for stream in (sys.stdout, sys.stderr):
        with suppress(OSError, ValueError):
            stream.flush()
    end = threading.Timer(AT_THE_MOST, os._exit, [code])
    end.daemon = True
    end.start()
