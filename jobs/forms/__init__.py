"""Forms of jobs, panels and the bench."""
