"""Is it good enough: findings against limits."""
