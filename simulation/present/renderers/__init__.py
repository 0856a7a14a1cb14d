"""An answer on a terminal, as a page, on paper, and as a record: each knows an answer and no question."""
