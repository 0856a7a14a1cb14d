"""What is read off the steps of one construction: chain of causes, record, balance."""
