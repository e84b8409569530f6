// What the page does when its reader moves the line, sorts, filters or opens a card.

const data = JSON.parse(one("#data").textContent);
const TYPED = /^\d{1,2}(\.\d+)?$/;

const slider = one("#line");
const number = one("#line-number");
const sureness = one("#sure");
const back = one("#back");
const finders = all("#finders input, #finders select");

const beliefs = beliefsOf(data);
const names = written.map((cells) => cells[0]);
const was = rows.map((row) => VERDICTS.find((verdict) => CLASSES[verdict] === row.className));
const choices = data.sureness.map(([sure, label, z, cut, keep, range, wide, wideZ]) => ({
  sure, label, z, cut, keep, range, wide, wideZ,
}));
const ours = choices.find((choice) => choice.sure === data.sure);
const at = { line: data.line, sure: ours };
const live = all("[data-live]").map((node) => [node, node.textContent]);
const legend = all("text", drawing).filter((node) => [ours.range, ours.wide].includes(node.textContent));
const relabelled = [...legend, one("#figure-estimates figcaption")].map((node) => [node, node.textContent]);
const waits = [];
let cards = [];
let opened = null;

// The middle of a millionth that was cut off rounds as the whole number does.
const whole = (millionths) => (millionths + 0.5) / FINE;

const isMoved = () => at.line !== data.line || at.sure !== ours;

const judgedCard = (belief, i) => {
  const isKnown = !["0", "?"].includes(written[i][column("games")]);
  const chance = belief.below(at.line);
  const verdict = isMoved() ? verdictOf(chance, at.sure.sure, isKnown) : was[i];
  const number = twentieths(chance, at.sure, verdict);
  const card = {
    i, belief, isKnown, chance, verdict, number,
    was: was[i],
    name: names[i],
    games: written[i][column("games")],
    estimate: whole(data.estimate[i]),
    low: at.sure === ours ? whole(data.low[i]) : belief.rate(-at.sure.z),
    high: at.sure === ours ? whole(data.high[i]) : belief.rate(at.sure.z),
  };
  card.shown = isMoved() ? shownOf(card, at, data.near) : {
    estimate: written[i][column("estimate")],
    range: written[i][column("range")],
  };
  card.shown.chance = isKnown ? data.twenty[number] : "no games";
  if (!isMoved()) card.shown.chance = written[i][column("chance_below")];
  return card;
};

// The report's own words, with the line and the ranges of now in place of its own.
const relabel = (text) => {
  const now = new Map([
    [exactPercent(data.line), exactPercent(at.line)],
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
    wrong: () => wrongSentence(cuts),
    weakest: () => weakestSentence(cuts),
  };
  for (const [node, text] of live) say(node, isMoved() ? texts[node.dataset.live]() : text);
  for (const [node, text] of relabelled) say(node, isMoved() ? relabel(text) : text);
  const ending = isMoved() ? ` at ${exactPercent(data.line)}` : "";
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
  `Moved from the report's line of ${exactPercent(data.line)}, ${ours.label} sure. ` +
  (some ? "What changes:" : "No verdict changes.");

const openDetail = () => {
  one("#detail")?.remove();
  for (const button of all("th button", body)) button.setAttribute("aria-expanded", "false");
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
  const line = exactPercent(data.line);
  for (const card of cards) fillRow(card, isMoved(), line);
  tell(counted());
  tellChanges();
  drawEstimates(cards, at);
  document.body.classList.toggle("moved", isMoved());
  back.disabled = !isMoved();
  slider.value = Math.round(1000 * (at.line - data.line));
  slider.setAttribute("aria-valuetext", exactPercent(at.line));
  if (document.activeElement !== number) number.value = exactPercent(at.line).slice(0, -1);
  sureness.value = choices.indexOf(at.sure);
  if (opened !== null) openDetail();
};

const fits = (card) => {
  const [find, verdict, faction, archetype] = ["find", "verdict", "faction", "archetype"].map(
    (id) => one(`#${id}`)?.value ?? "",
  );
  const homes = data.homes[card.i].filter((_, k) => k % 3 === 0).map(String);
  const isVerdict = verdict === "changed" ? card.verdict !== card.was : card.verdict === verdict;
  return (
    card.name.toLowerCase().includes(find.trim().toLowerCase()) &&
    (!verdict || isVerdict) &&
    (!faction || String(data.labels.faction.of[card.i]) === faction) &&
    (!archetype || homes.includes(archetype))
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
  const text = number.value.trim();
  if (text === exactPercent(data.line).slice(0, -1)) return data.line;
  const line = Number(text) / 100;
  return TYPED.test(text) && line > 0 && line < 1 ? line : null;
};

slider.addEventListener("input", () => {
  const steps = Number(slider.value);
  move({ line: steps ? data.line + steps / 1000 : data.line });
});
number.addEventListener("input", () => {
  const line = typedLine();
  number.setAttribute("aria-invalid", String(line === null));
  if (line !== null) move({ line });
});
number.addEventListener("blur", () => {
  number.removeAttribute("aria-invalid");
  update();
});
sureness.addEventListener("input", () => move({ sure: choices[sureness.value] }));
for (const control of [slider, number, sureness]) control.addEventListener("change", settle);
back.addEventListener("click", () => {
  move({ line: data.line, sure: ours });
  settle();
  slider.focus();
});
for (const finder of finders) {
  finder.addEventListener("input", () => {
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
  button.addEventListener("click", () => {
    const [now, sign] = sortedNow();
    sortBy(fact, fact === now ? -sign : 1);
    arrange();
  });
}
rows.forEach((row, i) => {
  const name = one("th", row);
  const button = make("button", { type: "button", "aria-expanded": "false" }, names[i]);
  name.replaceChildren(button);
  button.addEventListener("click", () => {
    opened = opened === i ? null : i;
    openDetail();
  });
});
document.addEventListener("keydown", (event) => {
  if (event.key !== "Escape" || opened === null) return;
  const button = one("button", rows[opened]);
  opened = null;
  openDetail();
  button.focus();
});
for (const title of all(".written h2")) {
  const line = `For the report's line of ${exactPercent(data.line)}, ${ours.label} sure.`;
  title.after(make("p", { class: "for-line" }, line));
}
nameDots("luck", (i) => {
  const [rate, games] = ["win_rate", "games"].map((fact) => written[i][column(fact)]);
  return parseFloat(rate) >= 0 && `${names[i]}: ${rate} of ${games} game${games === "1" ? "" : "s"}`;
});
nameDots("use", (i) => data.use[i] !== null && names[i]);
for (const part of all(".asks")) part.hidden = false;
update();
arrange();
