"""The bank of questions: one module a lesson."""
