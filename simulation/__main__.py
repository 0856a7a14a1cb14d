"""`python -m simulation` is the command line."""

from simulation.cli import main

if __name__ == "__main__":  # a worker process that imports this file must not start a command of its own
    main()
