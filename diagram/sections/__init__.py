"""Parts of printed pages: one module per part, a plan and a page in, flowables out.

A module in this folder with a function ``flowables`` is a section, named after its file. What is
printed names its sections in the order in which they stand. A section lays out what the plan says
and reckons nothing of its own.
"""
