"""Calendar, shifts, sun, and the work clocks that follow from them."""
