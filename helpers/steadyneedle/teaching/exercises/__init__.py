"""The mechanism of exercises, and the bank: one module a lesson."""
