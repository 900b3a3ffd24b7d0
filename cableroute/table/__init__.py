"""Each figure that is told, described once: its key, its words, its unit, its digits and its value."""
