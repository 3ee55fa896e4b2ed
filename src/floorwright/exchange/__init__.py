"""Files in and out: tables from CSV and workbooks, what they would store, and the same written back."""
