"""One machine for many stations: waiting and what a second or a mobile machine would change."""
