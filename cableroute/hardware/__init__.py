"""What can be bought: cable families, stock lengths, anchors."""
