"""What the metal and the gas do. SI floats in and out; pressures are absolute."""
