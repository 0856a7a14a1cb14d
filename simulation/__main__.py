"""`python -m simulation` and `keystrip` are the command line; Ctrl-C is heard before anything else is loaded."""

from __future__ import annotations

import os

TYPE_CHECKING = False  # as `typing` has it, which takes longer to load than all that comes before Ctrl-C is heard
if TYPE_CHECKING:
    from typing import NoReturn


def _leave(*_: object) -> NoReturn:
    """End before anything has begun: nothing is at work, and nothing is lost."""
    os.write(2, b"keystrip: stopped\n")
    os._exit(130)


try:
    import signal
except KeyboardInterrupt:  # a few milliseconds, in which it is not heard yet
    _leave()


def main() -> NoReturn:
    """Load the command line, and hand over to it."""
    for number in (signal.SIGINT, signal.SIGTERM):
        if signal.getsignal(number) is not signal.SIG_IGN:  # what a shell runs in the background does not hear Ctrl-C
            signal.signal(number, _leave)
    from simulation.cli import main as command_line

    command_line(ends=True)


if __name__ == "__main__":  # a worker process that imports this file must not start a command of its own
    main()
