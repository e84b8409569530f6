// The table of all cards: its cells, its order, and which of its rows are shown.

const table = one("#cards table");
const body = one("tbody", table);
const rows = all("tr", body);
const heads = all("thead th", table);
const facts = heads.map((head) => head.dataset.fact);
const column = (fact) => facts.indexOf(fact);
const written = rows.map((row) => [...row.cells].map((cell) => cell.textContent.trim()));

const told = (i, fact) => written[i][column(fact)];

const ORDERS = {
  card: null,
  why: null,
  "verdict": (card) => VERDICTS.indexOf(card.verdict),
  chance_below: (card) => (card.isKnown ? card.chance : NaN),
  estimate: (card) => card.i,
  range: (card) => card.low,
  games_needed: (card, text) => text.startsWith("settled") ? 0 : text === "won't help" ? Infinity : numeric(text),
};
const numeric = (text) => parseFloat(text.replaceAll(",", ""));

// Blank and unknown come last, whichever way the rest is sorted.
const compared = (a, b, sign) => {
  const [first, second] = [a, b].map((key) => key === "" || Number.isNaN(key));
  if (first || second) return first - second;
  return sign * (typeof a === "string" ? a.localeCompare(b, "en") : (a > b) - (a < b));
};

const sorted = (cards, fact, sign) => {
  const place = column(fact);
  const key = (card) => {
    const text = told(card.i, fact);
    const order = fact in ORDERS ? ORDERS[fact] : (_, said) => numeric(said);
    return order ? order(card, text) : rows[card.i].cells[place].textContent;
  };
  const keyed = cards.map((card) => [card, key(card)]);
  keyed.sort(([, a], [, b]) => compared(a, b, sign));
  return keyed.map(([card]) => card);
};

const sortBy = (fact, sign) => {
  for (const head of heads) {
    if (head.dataset.fact === fact) {
      set(head, { "aria-sort": sign > 0 ? "ascending" : "descending" });
    } else head.removeAttribute("aria-sort");
  }
};

const sortedNow = () => {
  const head = heads.find((one) => one.hasAttribute("aria-sort"));
  return [head.dataset.fact, head.getAttribute("aria-sort") === "ascending" ? 1 : -1];
};

const reasonsNow = (card, text, isMoved, line) => {
  if (!isMoved) return text;
  const others = text.split(", ").filter((reason) => reason && reason !== "weak");
  const now = card.verdict === "cut" ? ["weak"] : [];
  return [...now, ...(others.length ? [`at ${line}: ${others.join(", ")}`] : [])].join("; ");
};

const fillRow = (card, isMoved, line) => {
  const { cells } = rows[card.i];
  const fill = (fact, text) => say(cells[column(fact)], text);
  rows[card.i].className = CLASSES[card.verdict];
  fill("verdict", `${MARKS[card.verdict]} ${card.verdict}`);
  fill("chance_below", card.shown.chance);
  fill("estimate", card.shown.estimate);
  fill("range", card.shown.range);
  fill("why", reasonsNow(card, told(card.i, "why"), isMoved, line));
  const mark = cells[column("verdict")].dataset;
  if (card.verdict === card.was) delete mark.was;
  else mark.was = `was ${card.was}`;
};
