"""Reading back what the page's data pack, by the definition and not as the page does it."""

DIGITS = [chr(code) for code in range(35, 127) if chr(code) not in "<\\"]
"""Ninety, of which the upper half end a number."""


def unpacked(text: str) -> list[int]:
    numbers = []
    value = 0
    for digit in map(DIGITS.index, text):
        value = 45 * value + digit % 45
        if digit >= 45:
            numbers.append(-((value + 1) // 2) if value % 2 else value // 2)
            value = 0
    return numbers
