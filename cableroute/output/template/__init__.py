"""The wire template: schedule, and sheets at full size."""
