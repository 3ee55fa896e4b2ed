"""The shop's store: SQLite tables and migrations, photos, backups, behind `shop.ports`."""
