"""What a technician does: quantities with units at every door."""
