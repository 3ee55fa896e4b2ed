"""The HTTP API: records, calculations, the inbox of the phones, the calendar feed."""
