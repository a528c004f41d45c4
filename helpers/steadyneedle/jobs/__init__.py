"""A bench through time, without a picture."""
