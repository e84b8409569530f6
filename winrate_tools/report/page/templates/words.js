// Numbers as a reader sees them, by the rules of report/words.py.

const { abs, ceil, exp, floor, log, max, min, round } = Math;

const fixed = (number, digits) => {
  const isTie = abs(number * 2 ** (digits + 1)) % 2 === 1;
  if (!isTie) return number.toFixed(digits);
  const below = floor(number * 10 ** digits);
  return ((below + abs(below % 2)) / 10 ** digits).toFixed(digits);
};

const percent = (rate, digits = 1) => `${fixed(100 * rate, digits)}%`;

const exactPercent = (rate) => {
  const isTidy = abs(100 * rate - Number(fixed(100 * rate, 1))) < 1e-9;
  return percent(rate, isTidy ? 1 : 2);
};

const plain = (number, digits = 2) => String(Number(fixed(number, digits)));

const points = (difference) => {
  const number = plain(100 * difference);
  return `${number} point${number === "1" ? "" : "s"}`;
};

const grouped = (number) => String(number).replace(/\B(?=(\d{3})+$)/g, ",");

const plural = (number, noun) => `${grouped(number)} ${noun}${number === 1 ? "" : "s"}`;

const expected = (number) => {
  if (number < 0.1) return "under 0.1";
  return `about ${fixed(number, number >= 9.95 ? 0 : 1)}`;
};

const sideOf = (rate, line) => (rate > line + 1e-9) - (rate < line - 1e-9);

const thousandths = (shown) => round(1000 * parseFloat(shown));

const besideLine = (rate, line, side = sideOf(rate, line)) => {
  const mark = thousandths(exactPercent(line));
  for (const digits of [1, 2, 3]) {
    const shown = percent(rate, digits);
    if (Math.sign(thousandths(shown) - mark) === side) return shown;
  }
  return `${((mark + side) / 1000).toFixed(3)}%`;
};

const trusted = (rate, line, side, near) => (abs(rate - line) < near ? side : undefined);

const twentieths = (chance, bars, verdict) => {
  const nearest = floor(20 * chance + 0.5);
  if (verdict === "cut") return max(nearest, bars.cut);
  if (verdict === "keep") return min(nearest, bars.keep);
  return max(min(nearest, bars.cut - 1), bars.keep + 1);
};

const ofTwenty = (number) => {
  if (number > 19) return "over 19 in 20";
  return number > 0 ? `${number} in 20` : "under 1 in 20";
};

const use = (usage) => {
  if (Number.isNaN(usage)) return "not known";
  const shown = fixed(abs(usage), 1);
  return shown === "0.0" ? "as usual" : `${shown} ${usage < 0 ? "below" : "above"} usual`;
};
