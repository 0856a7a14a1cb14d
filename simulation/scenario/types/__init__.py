"""What a value of a scenario may be: quantities, uncertain values, sections, mistakes, and the texts they are read from."""
