"""What was timed, counted, walked, weighed: a baseline with its uncertainty."""
