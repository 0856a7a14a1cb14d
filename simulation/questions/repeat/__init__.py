"""Does a study come out again the same?"""
