"""Each figure against its limit, with margin, formula and source."""
