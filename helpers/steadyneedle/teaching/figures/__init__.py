"""Pure functions: a result in, a picture out. No controls here."""
