"""Pages of jobs, panels and the bench."""
