"""What the replications say: risk bands, drivers, use, the chance of a deadline, and yardsticks beside them."""
