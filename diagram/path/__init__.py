"""How a leg is ridden, how tight it is and how straight: the one place that says so."""
