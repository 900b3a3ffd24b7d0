"""What the shape costs: one file per phenomenon, each with its formula and source."""
