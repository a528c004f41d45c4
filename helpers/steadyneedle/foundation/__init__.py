"""The ground floor: places, datasets, files that survive, reproducible draws. No trade in it."""
