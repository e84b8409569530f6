// The picture of all cards: its bars, marks and line follow the line that was chosen.

const drawing = one("svg.estimates");
const heights = [];
unpacked(data.rows).forEach((i, k) => {
  heights[i] = one(".names", drawing).children[k].getAttribute("y") - 4;
});

const scaleOf = (svg) => {
  const [x0, x1, r0, r1] = ["x0", "x1", "r0", "r1"].map((name) => Number(svg.dataset[name]));
  const x = (rate) => x0 + ((rate - r0) / (r1 - r0)) * (x1 - x0);
  return (rate) => min(max(x(rate), x0), x1);
};

// The end of a range is seen on the side of the line that the verdict says.
const apart = (end, line, side) => {
  if (side === undefined) return end;
  return side > 0 ? max(end, line + 1) : min(end, line - 1);
};

const rowOf = (card, x, at) => {
  const [low, high] = [-at.sure.wideZ, at.sure.wideZ].map(card.belief.rate);
  const sides = card.isKnown ? SIDES[card.verdict] : [];
  const y = heights[card.i];
  const end = (rate, side) => apart(x(rate), x(at.line), side).toFixed(1);
  const line = (from, to) => `M${from} ${y}H${to}`;
  return {
    look: CLASSES[card.verdict] + (card.isKnown ? "" : " none"),
    wide: line(end(min(low, card.low)), end(max(high, card.high))),
    range: line(end(card.low, sides[0]), end(card.high, sides[2])),
    dot: `M${x(card.estimate).toFixed(1)} ${y}h0`,
    start: "0 ",
    foot: `${y + 3} `,
    mark: MARKS[card.verdict],
  };
};

const drawEstimates = (cards, at) => {
  const x = scaleOf(drawing);
  const bars = cards.map((card) => rowOf(card, x, at));
  const looks = [...new Set(bars.map((bar) => bar.look))].map((look) => {
    const alike = bars.filter((bar) => bar.look === look);
    return [look, (part) => alike.map((bar) => bar[part]).join("")];
  });
  one(".rows", drawing).replaceChildren(...looks.map(([look, drawn]) => make(
    "g",
    { class: look },
    make("path", { class: "wide", d: drawn("wide") }),
    make("path", { class: "range", d: drawn("range") }),
    make("text", { class: "mark", x: drawn("start"), y: drawn("foot") }, drawn("mark")),
  )));
  one("#estimates-dots").replaceChildren(
    ...looks.map(([look, drawn]) => make("path", { class: look, d: drawn("dot") })));
  const place = x(at.line).toFixed(1);
  set(one(".line", drawing), { x1: place, x2: place });
  set(one(".line-label", drawing), { x: place });
  say(one(".line-label", drawing), `line ${exactPercent(at.line)}`);
};

// A picture's dots stand by verdict and then in the order of the cards; those drawn have a title.
const nameDots = (figure, titleOf) => {
  const drawn = ["wait", "keep", "cut"].flatMap((name) =>
    rows.flatMap((row, i) => (row.className === name && titleOf(i)) || []));
  const svg = one(`.${figure}.figure`);
  all(`.${figure} .dots`).flatMap((line) => [...line.points]).forEach(({ x, y }, k) =>
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
