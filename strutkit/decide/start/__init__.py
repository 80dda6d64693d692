"""A first door: kinds of opening, what a tape and a scale tell, a first pair of struts."""
