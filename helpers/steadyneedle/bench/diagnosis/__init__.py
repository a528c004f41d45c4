"""Finding the cause: examinations of a regulator, and what they show."""
