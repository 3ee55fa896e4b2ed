"""Metal as shops buy it: sections, materials, gauges, hardware, each table with its sources."""
