"""What happens hour by hour in one run?"""
