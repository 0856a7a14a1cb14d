"""Where the pallets are, what each holds, and which a forklift brings next."""
