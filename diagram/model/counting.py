"""Counts that people write as words."""

NUMBER_WORDS = {
    word: n
    for n, word in enumerate(
        ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
    )
}
LARGER_NUMBERS = {
    word: n
    for n, word in enumerate(
        ("eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen",
         "eighteen", "nineteen", "twenty"), start=11,
    )
}  # fmt: skip
"""Those that phrases do not read, and hints put in digits."""
