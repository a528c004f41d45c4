"""Controls, computation and figure put together, one module a lesson."""
