// What is believed of each card: chances below any line, and rates at any chance.

const logit = (rate) => log(rate / (1 - rate));
const expit = (number) => 1 / (1 + exp(-number));

// Abramowitz & Stegun (1964), Handbook of Mathematical Functions, 26.2.17; error under 1e-7.
const TAIL = [0.31938153, -0.356563782, 1.781477937, -1.821255978, 1.330274429];
const normalBelow = (z) => {
  const t = 1 / (1 + 0.2316419 * abs(z));
  const sum = TAIL.reduceRight((total, term) => t * (term + total), 0);
  const tail = (exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI)) * sum;
  return z > 0 ? 1 - tail : tail;
};

// Points of a rising line; beyond its ends it goes straight on.
const along = (place, from, to) => {
  let k = 1;
  while (k < from.length - 1 && from[k] < place) k += 1;
  const share = (place - from[k - 1]) / (from[k] - from[k - 1]);
  return to[k - 1] + share * (to[k] - to[k - 1]);
};

const beliefOf = (centre, scale, bends, lattice) => {
  const bend = (t) => bends.reduceRight((sum, term) => (sum * t) / lattice.at(-1) + term, 0);
  const deviates = lattice.map((t) => t + bend(t));
  return {
    below: (line) => normalBelow(along((logit(line) - centre) / scale, lattice, deviates)),
    rate: (z) => expit(centre + scale * along(z, deviates, lattice)),
  };
};

const FINE = 1e6;
const beliefsOf = (data) => {
  const lattice = unpackedThousandths(data.lattice);
  const bends = data.bends.split(" ").map(unpackedThousandths);
  const scale = unpacked(data.scale);
  return summed(data.centre).map((centre, i) =>
    beliefOf(centre / FINE, scale[i] / FINE, bends[i], lattice));
};

const verdictOf = (chance, sure, isKnown) => {
  if (!isKnown) return "more games";
  if (chance >= sure) return "cut";
  return 1 - chance >= sure ? "keep" : "more games";
};
