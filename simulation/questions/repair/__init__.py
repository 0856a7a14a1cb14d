"""How are damaged mats mended soonest, and how long is the strip closed?"""
