"""What is not known for certain: distributions, the planner's own records, and their quantiles."""
