"""What do own records of past jobs say the rates are, and how much do they vary between jobs and within them?"""
