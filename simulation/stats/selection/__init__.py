"""Which of many plans is the best, and how sure is that? Published procedures, valid where all plans share their luck."""
