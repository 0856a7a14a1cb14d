"""One laying edge: what stands beside it, who lays there, how long a row takes, what it waits for."""
