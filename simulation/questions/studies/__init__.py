"""Which studies does a folder keep, and does one come out again the same?"""
