"""Many routes at once: how sure a verdict is, what decides it, fleets and sweeps."""
