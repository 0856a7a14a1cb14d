"""What people look at: tables on the terminal, the picture of the S-curve, and the files of a report."""
