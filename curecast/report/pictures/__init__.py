"""Pictures of a slab and of a week as plain SVG: no script, readable in black and white."""
