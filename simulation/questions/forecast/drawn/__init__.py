"""The pictures of a forecast, each drawn and told in words."""
