"""What a class does: panels, exercises, lessons."""
