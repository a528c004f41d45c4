"""What is asked: exercises, how answers are checked, which lesson asks what. No widget, no plot."""
