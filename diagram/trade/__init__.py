"""The figures of the trade: strides, gaits, fences, heights, arenas, each with its source.

All figures stand in the YAML files under ``data``; the modules here read them and add up
distances. Each file is read the first time that it is asked for.
"""
