// One card at length: twenty dots against the line, reasons, record by archetype.

const DOT = 6;
const WIDE = 336;
const EDGE = 20;
const LABEL = 42;

// Twenty equally likely win rates; as many stand below the line as its chance says in words.
const dotted = (card, line, deviates) => {
  const rates = deviates.map(card.belief.rate);
  const low = Math.min(rates[0], line);
  const high = Math.max(rates[19], line);
  const x = (rate) => EDGE + ((WIDE - 2 * EDGE) * (rate - low)) / (high - low);
  const stacks = new Map();
  const dots = rates.map((rate, k) => {
    const isBelow = k < card.number;
    const off = (x(rate) - x(line)) / (2 * DOT);
    const place = isBelow ? Math.min(Math.floor(off), -1) : Math.max(Math.floor(off), 0);
    const height = stacks.get(place) ?? 0;
    stacks.set(place, height + 1);
    return { x: x(line) + (2 * place + 1) * DOT, height, isBelow };
  });
  return { dots, x, low, high, tallest: Math.max(...stacks.values()) };
};

const ticks = (low, high) => {
  const step = [0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1].find((s) => (high - low) / s <= 5);
  const first = Math.ceil(low / step);
  const count = Math.floor(high / step) - first + 1;
  return Array.from({ length: count }, (_, k) => (first + k) * step);
};

const picture = (card, line, deviates) => {
  const { dots, x, low, high, tallest } = dotted(card, line, deviates);
  const top = 24;
  const ground = top + 2 * DOT * tallest + 4;
  const at = x(line).toFixed(1);
  const label = exactPercent(line);
  const middle = Math.min(Math.max(at, LABEL), WIDE - LABEL);
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
  const record = data.homes[card.i];
  const lines = Array.from({ length: record.length / 3 }, (_, k) => {
    const [home, games, wins] = record.slice(3 * k, 3 * k + 3);
    const rates = [wins / games, data.usual[home]].map((rate) => percent(rate));
    return [data.archetypes[home], grouped(games), grouped(wins), ...rates];
  });
  const row = (texts) =>
    make("tr", {}, ...texts.map((text, k) => make(k ? "td" : "th", k ? {} : { scope: "row" }, text)));
  return make(
    "table",
    { class: "n2 n3 n4 n5" },
    make("caption", {}, "Record by archetype"),
    make("thead", {}, make("tr", {}, ...heads.map((text) => make("th", { scope: "col" }, text)))),
    make("tbody", {}, ...lines.map(row)),
  );
};

const why = (card, data) => {
  const reasons = written[card.i][column("why")].split(", ").filter(Boolean);
  return reasons.map((reason) => [reason, data.reasons[reason] ?? reason]);
};

const settling = (card, data) => {
  const needed = written[card.i][column("games_needed")];
  const flips = data.flips[card.i];
  const change = card.was === "cut" ? "no longer a cut" : "a cut";
  const help = needed === "won't help"
    ? "more of the same games will not help"
    : `about ${needed} more would very likely settle it`;
  return [
    ...(card.was === "more games" ? [["games needed", help]] : []),
    ...(flips ? [["assumption", `${change} at an allowance of ${flips} (taken: ${data.allowance})`]] : []),
  ];
};

const labels = (card, data) => {
  const named = Object.entries(data.labels).map(([kind, coded]) => [kind, labelled(coded, card.i)]);
  const rank = written[card.i][column("rank")];
  return [
    ...named.filter(([, name]) => name),
    ["use by drafters", use(data.use[card.i])],
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
      picture(card, at.line, data.deviates),
      make("p", { class: "soft" }, dotsSentence(card, at.line))),
    make("div", {},
      ...(reasons.length ? [make("h3", {}, whose), listed(reasons)] : []),
      make("h3", {}, "The card"),
      listed(labels(card, data))),
    ...(data.homes[card.i].length ? [make("div", { class: "homes" }, homesTable(card, data))] : []),
  );
};
