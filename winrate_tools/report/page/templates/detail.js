// One card at length: twenty dots against the line, reasons, record by archetype.

const DOT = 6;
const WIDE = 336;
const EDGE = 20;
const LABEL = 42;

// Twenty equally likely win rates; as many stand below the line as its chance says in words.
const dotted = (card, line, deviates) => {
  const rates = deviates.map(card.belief.rate);
  const low = min(rates[0], line);
  const high = max(rates[19], line);
  const x = (rate) => EDGE + ((WIDE - 2 * EDGE) * (rate - low)) / (high - low);
  const stacks = new Map();
  const dots = rates.map((rate, k) => {
    const isBelow = k < card.number;
    const off = (x(rate) - x(line)) / (2 * DOT);
    const place = isBelow ? min(floor(off), -1) : max(floor(off), 0);
    const height = stacks.get(place) ?? 0;
    stacks.set(place, height + 1);
    return { x: x(line) + (2 * place + 1) * DOT, height, isBelow };
  });
  return { dots, x, low, high, tallest: max(...stacks.values()) };
};

const ticks = (low, high) => {
  const step = [0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1].find((s) => (high - low) / s <= 5);
  const first = ceil(low / step);
  const count = floor(high / step) - first + 1;
  return Array.from({ length: count }, (_, k) => (first + k) * step);
};

const picture = (card, line, deviates) => {
  const { dots, x, low, high, tallest } = dotted(card, line, deviates);
  const top = 24;
  const ground = top + 2 * DOT * tallest + 4;
  const at = x(line).toFixed(1);
  const label = exactPercent(line);
  const middle = min(max(at, LABEL), WIDE - LABEL);
  return make(
    "svg",
    { class: "spread", viewBox: `0 0 ${WIDE} ${ground + 20}`, "aria-hidden": "true" },
    ...ticks(low, high).map((rate) =>
      make("text", { class: "soft", x: x(rate).toFixed(1), y: ground + 15 }, plain(100 * rate) + "%"),
    ),
    make("line", { class: "axis", x1: 0, x2: WIDE, y1: ground, y2: ground }),
    ...dots.map((dot) =>
      make("circle", {
        class: dot.isBelow ? "below" : "above",
        cx: dot.x.toFixed(1),
        cy: ground - 1 - DOT * (2 * dot.height + 1),
        r: DOT - 1,
      }),
    ),
    make("line", { class: "line", x1: at, x2: at, y1: top - 6, y2: ground + 4 }),
    make("text", { class: "line-label", x: middle, y: 13 }, `line ${label}`),
  );
};

const dotsSentence = (card, line) => {
  return `Each dot is one of 20 equally likely true win rates: ${card.number} below the line ` +
    `of ${exactPercent(line)}, ${20 - card.number} on or above it.`;
};

const listed = (pairs) =>
  make("dl", {}, ...pairs.flatMap(([name, text]) => [make("dt", {}, name), make("dd", {}, text)]));

const homesTable = (card, data) => {
  const heads = ["Archetype", "Games", "Wins", "Win rate", "All cards there"];
  const record = homes[card.i];
  const lines = Array.from({ length: record.length / 3 }, (_, k) => {
    const [home, games, surplus] = record.slice(3 * k, 3 * k + 3);
    const wins = (games + surplus) / 2;
    const rates = [wins / games, data.usual[home]].map((rate) => percent(rate));
    return [one("#archetype").options[home + 1].text, grouped(games), grouped(wins), ...rates];
  });
  const row = (texts) => make("tr", {}, ...texts.map((text, k) => make(k ? "td" : "th", {}, text)));
  return make(
    "table",
    { class: "n2 n3 n4 n5" },
    make("caption", {}, "Record by archetype"),
    make("thead", {}, make("tr", {}, ...heads.map((text) => make("th", {}, text)))),
    make("tbody", {}, ...lines.map(row)),
  );
};

const why = (card, data) => {
  const reasons = told(card.i, "why").split(", ").filter(Boolean);
  return reasons.map((reason) => [reason, data.reasons[reason] ?? reason]);
};

const settling = (card, data) => {
  const needed = told(card.i, "games_needed");
  const flips = data.flips[card.i];
  const change = card.was === "cut" ? "not a cut" : "a cut";
  const help = needed === "won't help"
    ? "more of the same games will not help"
    : needed.endsWith(" or never")
    ? `about ${needed.split(" ")[0]} more do most of what games can; they may not settle it`
    : `about ${needed} more would very likely settle it`;
  return [
    ...(card.was === "more games" ? [["games needed", help]] : []),
    ...(needed.endsWith("pool") ? [["settled", `by the pool: its own games (${card.games}) say little`]] : []),
    ...(flips ? [["assumption", `${change} if ${flips} of its record were its own (taken: ${data.allowance})`]] : []),
  ];
};

const labels = (card, data) => {
  const named = Object.entries(data.labels).map(([kind, coded]) => [kind, labelled(coded, card.i)]);
  const rank = told(card.i, "rank");
  return [
    ...named.filter(([, name]) => name),
    ["use by drafters", use(usage[card.i])],
    ["rank", `${rank} of ${grouped(written.length)}, 1 the weakest (9 in 10)`],
  ];
};

const detailOf = (card, at, data, isMoved) => {
  const reasons = [...why(card, data), ...settling(card, data)];
  const line = exactPercent(data.line);
  const whose = isMoved ? `Why, at the report's line of ${line}` : "Why";
  return make(
    "div",
    { class: "detail" },
    make("div", {},
      make("p", {}, make("b", {}, card.name), `: ${verdictSentence(card, at, data)}`),
      picture(card, at.line, unpackedThousandths(data.deviates)),
      make("p", { class: "soft" }, dotsSentence(card, at.line))),
    make("div", {},
      ...(reasons.length ? [make("h3", {}, whose), listed(reasons)] : []),
      make("h3", {}, "The card"),
      listed(labels(card, data))),
    ...(homes[card.i].length ? [make("div", { class: "homes" }, homesTable(card, data))] : []),
  );
};
