// The picture of all cards: its bars, marks and line follow the line that was chosen.

const drawing = one("svg.estimates");
const bars = all("[data-i]", drawing);

const scaleOf = (svg) => {
  const [x0, x1, r0, r1] = ["x0", "x1", "r0", "r1"].map((name) => Number(svg.dataset[name]));
  const x = (rate) => x0 + ((rate - r0) / (r1 - r0)) * (x1 - x0);
  return (rate) => Math.min(Math.max(x(rate), x0), x1);
};

// The end of a range is seen on the side of the line that the verdict says.
const apart = (end, line, side) => {
  if (side === undefined) return end;
  return side > 0 ? Math.max(end, line + 1) : Math.min(end, line - 1);
};

const drawBar = (bar, card, x, at) => {
  const [wide, range] = bar.children;
  const [low, high] = [-at.sure.wideZ, at.sure.wideZ].map(card.belief.rate);
  const sides = card.isKnown ? SIDES[card.verdict] : [];
  const end = (rate, side) => apart(x(rate), x(at.line), side).toFixed(1);
  bar.classList.remove(...Object.values(CLASSES));
  bar.classList.add(CLASSES[card.verdict]);
  set(range, { x1: end(card.low, sides[0]), x2: end(card.high, sides[2]) });
  set(wide, { x1: end(Math.min(low, card.low)), x2: end(Math.max(high, card.high)) });
  say(bar.children[3], MARKS[card.verdict]);
};

const drawEstimates = (cards, at) => {
  const x = scaleOf(drawing);
  for (const bar of bars) drawBar(bar, cards[bar.dataset.i], x, at);
  const place = x(at.line).toFixed(1);
  set(one(".line", drawing), { x1: place, x2: place });
  set(one(".line-label", drawing), { x: place });
  say(one(".line-label", drawing), `line ${exactPercent(at.line)}`);
};

// A picture's dots stand by verdict and then in the order of the cards; told are those drawn.
const nameDots = (figure, told) => {
  const drawn = ["wait", "keep", "cut"].flatMap((name) =>
    rows.flatMap((row, i) => (row.className === name && told(i)) || []));
  const svg = one(`.${figure}.figure`);
  all(".dots", svg).flatMap((line) => [...line.points]).forEach(({ x, y }, k) =>
    svg.append(make("circle", { class: "hover", cx: x, cy: y, r: 5 }, make("title", {}, drawn[k]))));
};

const drawTally = (number) => {
  let x = 0;
  for (const verdict of VERDICTS) {
    set(one(`.tally rect.${CLASSES[verdict]}`), { x, width: number[verdict] });
    say(one(`.tally b.${CLASSES[verdict]}`), grouped(number[verdict]));
    x += number[verdict];
  }
};
