"""Each figure of a cable, a pair or a linkage: the dataclass beside the function that fills it."""
