"""One call of the command line: options shared by commands, interrupts, plain output."""
