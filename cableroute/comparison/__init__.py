"""Options side by side: routes of one cable, or one cable as push-pull and as a pull pair."""
