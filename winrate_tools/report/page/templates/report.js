// What the page does when its reader moves the line, sorts, filters or opens a card.

const TYPED = /^\d{1,2}(\.\d+)?$/;

const slider = one("#line");
const number = one("#line-number");
const sureness = one("#sure");
const back = one("#back");
const finders = all("#finders input, #finders select");

const beliefs = beliefsOf(data);
const names = written.map((cells) => cells[0]);
const was = rows.map((row) => VERDICTS.find((verdict) => CLASSES[verdict] === row.className));
const choices = data.sureness.map(([sure, z, cut, keep, range, place], k) => {
  const [wide, wideZ] = data.wides[place];
  return { sure, z, cut, keep, range, wide, wideZ, label: sureness.options[k].text };
});
const ours = choices.find((choice) => choice.sure === data.sure);
const ourLine = exactPercent(data.line);
const reportsLine = `the report's line of ${ourLine}, ${ours.label} sure.`;
const forOurs = `For ${reportsLine}`;
const at = { line: data.line, sure: ours };
const live = all("[data-live]").map((node) => [node, node.textContent]);
const legend = all("text", drawing).filter((node) => [ours.range, ours.wide].includes(node.textContent));
const relabelled = [...legend, one("#figure-estimates figcaption")].map((node) => [node, node.textContent]);
const waits = [];
let cards = [];
let opened = null;

const isMoved = () => at.line !== data.line || at.sure !== ours;

const judgedCard = (belief, i) => {
  const isKnown = !["0", "?"].includes(told(i, "games"));
  const chance = belief.below(at.line);
  const verdict = isMoved() ? verdictOf(chance, at.sure.sure, isKnown) : was[i];
  const number = twentieths(chance, at.sure, verdict);
  const card = {
    i, belief, isKnown, chance, verdict, number,
    was: was[i],
    name: names[i],
    games: told(i, "games"),
    estimate: reported[i].estimate,
    low: at.sure === ours ? reported[i].low : belief.rate(-at.sure.z),
    high: at.sure === ours ? reported[i].high : belief.rate(at.sure.z),
  };
  card.shown = isMoved() ? shownOf(card, at, data.near) : {
    estimate: told(i, "estimate"),
    range: told(i, "range"),
  };
  const chanceNow = isKnown ? ofTwenty(number) : "no games";
  card.shown.chance = isMoved() ? chanceNow : told(i, "chance_below");
  return card;
};

// The report's own words, with the line and the ranges of now in place of its own.
const relabel = (text) => {
  const now = new Map([
    [ourLine, exactPercent(at.line)],
    [ours.range, at.sure.range],
    [ours.wide, at.sure.wide],
  ]);
  const old = [...now.keys()].map((key) => key.replaceAll(".", "\\."));
  return text.replace(new RegExp(`(?<![\\d.])(${old.join("|")})(?!\\d)`, "g"), (key) => now.get(key));
};

const tell = (counts) => {
  const cuts = cards.filter((card) => card.verdict === "cut");
  const texts = {
    counts: () => countsSentence(counts),
    line: () => lineSentence(at, data),
    wrong: () => wrongSentence(cuts, cards.filter((card) => card.verdict === "keep")),
    assumed: (text) => `${forOurs} ${text}`,
    weakest: () => weakestSentence(cuts),
  };
  for (const [node, text] of live) say(node, isMoved() ? texts[node.dataset.live](text) : text);
  for (const [node, text] of relabelled) say(node, isMoved() ? relabel(text) : text);
  const ending = isMoved() ? ` at ${ourLine}` : "";
  for (const [node, text] of waits) say(node, text + ending);
  drawTally(counts);
};

const listedNames = (changed) => {
  const more = changed.length - 5;
  const first = changed.slice(0, 5).map((card) => card.name).join(", ");
  return more > 0 ? `${first} and ${grouped(more)} more` : first;
};

const tellChanges = () => {
  const changes = VERDICTS.map((verdict) => [
    verdict,
    cards.filter((card) => card.verdict === verdict && card.was !== verdict),
  ]).filter(([, changed]) => changed.length);
  const list = one("#changes");
  list.replaceChildren(...changes.map(([verdict, changed]) => make(
    "li", { class: CLASSES[verdict] },
    make("b", {}, `${MARKS[verdict]} now ${verdict}: ${grouped(changed.length)}`),
    ` (${listedNames(changed)})`,
  )));
  say(one("#moved"), isMoved() ? movedSentence(changes.length) : "");
};

const movedSentence = (some) =>
  `Moved from ${reportsLine} ${some ? "What changes:" : "No verdict changes."}`;

const openDetail = () => {
  one("#detail")?.remove();
  for (const button of all("th button", body)) set(button, { "aria-expanded": false });
  if (opened === null || rows[opened].hidden) return;
  const cell = make("td", { colspan: heads.length }, detailOf(cards[opened], at, data, isMoved()));
  rows[opened].after(make("tr", { id: "detail" }, cell));
  one("button", rows[opened]).setAttribute("aria-expanded", "true");
};

const counted = () => {
  const counts = { cut: 0, keep: 0, "more games": 0 };
  for (const card of cards) counts[card.verdict] += 1;
  return counts;
};

let speaking = 0;
const speakSoon = (text) => {
  clearTimeout(speaking);
  speaking = setTimeout(() => say(one("#spoken"), text), 700);
};

const update = () => {
  cards = beliefs.map(judgedCard);
  for (const card of cards) fillRow(card, isMoved(), ourLine);
  tell(counted());
  tellChanges();
  drawEstimates(cards, at);
  document.body.classList.toggle("moved", isMoved());
  back.disabled = !isMoved();
  slider.value = round(1000 * (at.line - data.line));
  set(slider, { "aria-valuetext": exactPercent(at.line) });
  if (document.activeElement !== number) number.value = exactPercent(at.line).slice(0, -1);
  sureness.selectedIndex = choices.indexOf(at.sure);
  if (opened !== null) openDetail();
};

const chosen = (id) => (one(`#${id}`)?.selectedIndex ?? 0) - 1;

// Case, accents, blanks and punctuation make no difference.
const folded = (text) => text.normalize("NFD").replace(/[\p{M}\p{P} ]/gu, "").toLowerCase();

const fits = (card) => {
  const [find, verdict] = ["#find", "#verdict"].map((id) => one(id).value);
  const [faction, archetype] = ["faction", "archetype"].map(chosen);
  const isVerdict = verdict === "changed" ? card.verdict !== card.was : card.verdict === verdict;
  return (
    folded(card.name).includes(folded(find)) &&
    (!verdict || isVerdict) &&
    (faction < 0 || factions[card.i] === faction) &&
    (archetype < 0 || homes[card.i].some((home, k) => k % 3 === 0 && home === archetype))
  );
};

const arrange = () => {
  let shown = 0;
  for (const card of cards) {
    rows[card.i].hidden = !fits(card);
    shown += !rows[card.i].hidden;
  }
  body.append(...sorted(cards, ...sortedNow()).map((card) => rows[card.i]));
  const text = `Shown: ${grouped(shown)} of ${plural(rows.length, "card")}.`;
  say(one("#shown"), text);
  openDetail();
};

const settle = () => {
  arrange();
  speakSoon(`Line ${exactPercent(at.line)}, ${at.sure.label} sure. ${countsSentence(counted())}`);
};

const move = (change) => {
  Object.assign(at, change);
  update();
};

const typedLine = () => {
  const text = number.value.replace(",", ".").replace(/[ %]/g, "");
  if (text === ourLine.slice(0, -1)) return data.line;
  const line = Number(text) / 100;
  return TYPED.test(text) && line > 0 ? line : null;
};

on(slider, "input", () => {
  const steps = Number(slider.value);
  move({ line: steps ? data.line + steps / 1000 : data.line });
});
on(number, "input", () => {
  const line = typedLine();
  set(number, { "aria-invalid": line === null });
  if (line !== null) move({ line });
});
on(number, "blur", () => {
  number.removeAttribute("aria-invalid");
  update();
});
on(sureness, "input", () => move({ sure: choices[sureness.selectedIndex] }));
for (const control of [slider, number, sureness]) on(control, "change", settle);
on(back, "click", () => {
  move({ line: data.line, sure: ours });
  settle();
  slider.focus();
});
for (const finder of finders) {
  on(finder, "input", () => {
    arrange();
    speakSoon(one("#shown").textContent);
  });
}

const FOLLOWS = { chance_below: relabelled, range: relabelled, games_needed: waits };
for (const head of heads) {
  const { fact } = head.dataset;
  const text = head.textContent.trim();
  const button = make("button", { type: "button" }, text);
  const paper = make("span", { class: "paper" }, text);
  head.replaceChildren(button, paper);
  FOLLOWS[fact]?.push([button, text], [paper, text]);
  on(button, "click", () => {
    const [now, sign] = sortedNow();
    sortBy(fact, fact === now ? -sign : 1);
    arrange();
  });
}
rows.forEach((row, i) => {
  const name = one("th", row);
  const button = make("button", { type: "button", "aria-expanded": false }, names[i]);
  name.replaceChildren(button);
  on(button, "click", () => {
    opened = opened === i ? null : i;
    openDetail();
  });
});
on(document, "keydown", (event) => {
  if (event.key !== "Escape" || opened === null) return;
  const button = one("button", rows[opened]);
  opened = null;
  openDetail();
  button.focus();
});
for (const title of all("section:not(#summary, #cards, .live) h2")) {
  title.after(make("p", { class: "for-line" }, forOurs));
}
nameDots("luck", (i) => {
  const [rate, games] = ["win_rate", "games"].map((fact) => told(i, fact));
  return parseFloat(rate) >= 0 && `${names[i]}: ${rate} of ${games} game${games === "1" ? "" : "s"}`;
});
nameDots("use", (i) => !Number.isNaN(usage[i]) && names[i]);
for (const part of all(".asks")) part.hidden = false;
update();
arrange();
