"""How far apart should key strips lie?"""
