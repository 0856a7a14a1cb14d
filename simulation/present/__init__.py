"""How answers are worded, set in tables, drawn and written to files."""
