"""Which plan is the best, of all that may be chosen, within what is there?"""
