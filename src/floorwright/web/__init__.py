"""The browser app and the HTTP API: parse, call one use case, render."""
