"""From the hand to the far arm: levers, cranks, cable ends and two-axis selectors."""
