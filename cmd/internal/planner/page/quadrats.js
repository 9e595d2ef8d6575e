// Counts as the lines of a file of counts.

const heading = 'date,zone,kind,quadrat_m2,count';

// rows makes lines of CSV of numbers that were counted in quadrats of one size on one day; null
// where they are none.
export function rows(date, kind, area, numbers) {
  const list = numbers.trim().split(/[\s,;]+/);
  if (!/^\d{4}-\d{2}-\d{2}$/.test(date) || !(area > 0) || numbers.trim() === '' || !list.every((n) => /^\d+$/.test(n))) return null;
  return list.map((n) => `${date},whole field,${kind},${area},${n}`);
}

// added puts lines behind what is there, under the heading; a column that the old lines have
// besides stays empty.
export function added(text, lines) {
  const now = text.trim() === '' ? heading : text.replace(/\s+$/, '');
  const more = Math.max(0, now.split('\n')[0].split(',').length - heading.split(',').length);
  return [now, ...lines.map((l) => l + ','.repeat(more))].join('\n') + '\n';
}
