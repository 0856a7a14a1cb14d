"""Which plan is ready first?"""
