"""`python -m simulation` is the command line."""

from simulation.cli import main

main()
