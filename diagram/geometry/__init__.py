"""Points, poses, curves of piecewise-linear curvature, and regions. Metres and radians."""
