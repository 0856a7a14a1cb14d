"""The command line, with a note of each batch before it is done, and a pause before the N-th until a file is there.

`python noted_batches.py NOTES N FILE forecast ...`: a line of NOTES is the processor time so far, and the batch's runs.
"""

import sys
import time
from pathlib import Path

if __name__ == "__main__":
    from simulation.cli import main
    from simulation.replicate import batches

    notes, pause, file = Path(sys.argv.pop(1)), int(sys.argv.pop(1)), Path(sys.argv.pop(1))
    do_batch, begun = batches.do_batch, []

    def noted(order, numbers):
        begun.append(numbers)
        with notes.open("a", encoding="utf-8") as lines:
            print(time.process_time(), *numbers, file=lines)
        while len(begun) == pause and not file.exists():
            time.sleep(0.01)
        return do_batch(order, numbers)

    batches.do_batch = noted
    main()


def read_notes(notes):
    """Return processor time and runs of each batch that was begun."""
    lines = notes.read_text(encoding="utf-8").splitlines() if notes.exists() else []
    return [(float(line.split()[0]), [int(number) for number in line.split()[1:]]) for line in lines]
