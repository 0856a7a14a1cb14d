"""Plans and changes of them: which are tried, in how many runs, and what else each does."""
