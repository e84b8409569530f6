// Whole numbers that packing.py wrote as text, each ending in a digit raised by 45.

const unpacked = (text) => {
  const numbers = [];
  let number = 0;
  for (const character of text) {
    const code = character.charCodeAt();
    const digit = code - 35 - (code > 60) - (code > 92);
    number = 45 * number + (digit % 45);
    if (digit > 44) {
      numbers.push(number % 2 ? (number + 1) / -2 : number / 2);
      number = 0;
    }
  }
  return numbers;
};

const unpackedRows = (text) => text.split(" ").map(unpacked);

const unpackedThousandths = (text) => unpacked(text).map((number) => number / 1000);

const summed = (text) => {
  let sum = 0;
  return unpacked(text).map((number) => (sum += number));
};
