"""What Flawtree knows: YAML with places, read into a checked, frozen model; its words; its review."""
