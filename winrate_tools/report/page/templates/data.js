// What the page was given to work with, unpacked; cards in the order of the pool.

const data = JSON.parse(one("#data").textContent);
const homes = unpackedRows(data.homes);
const usage = unpackedRows(data.use).map(([tenths]) => tenths / 10);
const factions = unpacked(data.labels.faction.of);

// The middle of a millionth that was cut off rounds as the whole number does.
const middle = (millionths) => (millionths + 0.5) / FINE;
const [lows, highs] = [data.low, data.high].map(unpacked);
const reported = summed(data.estimate).map((estimate, i) => ({
  low: middle(estimate - lows[i]),
  estimate: middle(estimate),
  high: middle(estimate + highs[i]),
}));
