"""What the user sees: text, JSON, drawings, exports."""
