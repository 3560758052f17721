"""The job as tables."""
