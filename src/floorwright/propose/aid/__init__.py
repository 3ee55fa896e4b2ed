"""Shop aids: carts, racks, stands and trestles, laid out and checked in every state of loading."""
