"""What shape the cable takes: lines and arcs, smoothing, natural lay."""
