"""Statistics for before-and-after measurement: plain numbers in, small frozen results out.

Nothing here knows units, shops or records. Wrong use by a programmer (an empty series, a confidence of 95
instead of 0.95) raises `ValueError`; input of a user is checked by whoever calls.
"""
