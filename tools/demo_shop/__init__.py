"""What the demo shop is made of: its plan, its readings and its drawn photos, all from fixed seeds."""
