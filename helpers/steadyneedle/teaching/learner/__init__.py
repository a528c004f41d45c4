"""One learner: what was typed, what is met, the forms that ask."""
