// Sentences that name the line, by the rules of report/cards/sentences.py.

const VERDICTS = ["cut", "more games", "keep"];
const CLASSES = { cut: "cut", keep: "keep", "more games": "wait" };
const MARKS = { cut: "▼", keep: "▲", "more games": "○" };
const SIDES = { cut: [-1, -1, -1], keep: [1, 1, 1], "more games": [-1, undefined, 1] };

const shownOf = (card, at, near) => {
  const sides = card.isKnown ? SIDES[card.verdict] : [];
  const show = (rate, side) => besideLine(rate, at.line, trusted(rate, at.line, side, near));
  return {
    estimate: show(card.estimate, sides[1]),
    range: `${show(card.low, sides[0]).slice(0, -1)} to ${show(card.high, sides[2])}`,
  };
};

const countsSentence = (number) => {
  const cards = number.cut + number.keep + number["more games"];
  return `${plural(cards, "card")}: ${grouped(number.cut)} to cut, ${grouped(number.keep)} to ` +
    `keep, ${grouped(number["more games"])} that cannot be called yet.`;
};

const lineSentence = (at, data) => {
  const off = data.baseline - at.line;
  const where = off < 0 ? "over" : "under";
  return `A card is weak below the line of ${exactPercent(at.line)}: ` +
    `${points(abs(off))} ${where} the baseline of ${exactPercent(data.baseline)} ` +
    `(${data.origin}).`;
};

const expectedOf = (cards, verdict, chance) =>
  `Of the ${plural(cards.length, "card")} called ${verdict}, expect ` +
    `${expected(cards.reduce((sum, card) => sum + chance(card), 0))} to be `;

const wrongSentence = (cuts, keeps) => {
  const wrong = cuts.length
    ? `${expectedOf(cuts, "cut", (card) => 1 - card.chance)}wrong: not truly below the line.`
    : "No card is called cut.";
  const weak = expectedOf(keeps, "keep", (card) => card.chance);
  return keeps.length ? `${wrong} ${weak}weak.` : wrong;
};

const weakestSentence = (cuts) => {
  if (!cuts.length) return "";
  const first = cuts.slice(0, 5).map((c) => `${c.name} (${c.shown.estimate}, ${c.shown.chance})`);
  const more = cuts.length > 5 ? `; and ${grouped(cuts.length - 5)} more below` : "";
  return "Cut first, with best estimate and chance of being below the line: " +
    `${first.join("; ")}${more}.`;
};

const labelled = ({ names, of }, i) => names[unpacked(of)[i]];

const barOf = (bar, side) => ofTwenty(bar) + (bar % 20 ? ` or ${side}` : "");

const verdictSentence = (card, at, data) => {
  const line = exactPercent(at.line);
  const ends = `${card.shown.estimate} (${at.sure.range} range: ${card.shown.range})`;
  if (!card.isKnown) {
    const known = card.games === "0" ? "no games yet" : "its games are not known";
    return `${known}, so the estimate is only what the pool suggests: ${ends}, with the ` +
      `line at ${line}.`;
  }
  const asked = {
    cut: "",
    keep: "",
    "more games": 2 * card.number >= 20
      ? `, and a cut takes ${barOf(at.sure.cut, "more")}`
      : `, and a keep takes ${barOf(at.sure.keep, "less")}`,
  }[card.verdict];
  return `${ofTwenty(card.number)} (${labelled(data.likelihood, card.number)}) that its true win ` +
    `rate is below ${line}${asked}. Best estimate ${ends} from ` +
    `${card.games} game${card.games === "1" ? "" : "s"}.`;
};
