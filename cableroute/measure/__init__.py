"""What the tape said: route files, surveys, points, tubes and tape distances."""
