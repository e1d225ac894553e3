"""Tests of the room `yaml_source`."""
