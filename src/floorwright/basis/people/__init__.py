"""What people can do: lifting, walking pace."""
