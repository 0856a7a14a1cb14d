"""Texts that a scenario is read from: what a file may be, how a CSV file is written, which moments it names."""
