// What fits where: the entries of the library that a control may offer.

const of = (library, kind, ...roles) => library[kind].filter((e) => roles.length === 0 || roles.includes(e.role));

// fitting lists what a mark of a season may be done with.
export function fitting(library, mark, crop) {
  switch (mark.kind) {
    case 'drill':
      return of(library, 'implements', 'drill');
    case 'cultivate':
      return of(library, 'implements', 'cultivator');
    case 'in_crop':
      return of(library, 'implements', 'in-crop');
    case 'spray_off':
      return of(library, 'herbicides', 'non-selective');
    case 'herbicides':
      return of(library, 'herbicides', 'programme').filter((e) => e.crops.length === 0 || e.crops.includes(crop));
    case 'sow':
      return library.covers;
    case 'destroy':
      return [...of(library, 'herbicides', 'non-selective'), ...of(library, 'implements', 'cultivator')];
    default:
      return [];
  }
}

// crops in the order in which a farmer looks for them.
export const cropGroups = (library) =>
  [
    ['autumn', 'Drilled in autumn'],
    ['spring', 'Drilled in spring'],
    ['none', 'Nothing drilled'],
  ]
    .map(([season, title]) => ({ title, crops: library.crops.filter((c) => c.season === season) }))
    .filter((g) => g.crops.length > 0);

// first is a new piece of work as it is first put in: a likely day and a likely tool.
export function first(library, list, season) {
  const drill = season.marks.find((m) => m.kind === 'drill');
  const open = Math.max(season.open, drill ? Math.min(season.open + 14, drill.day - 20) : season.open + 14);
  switch (list) {
    case 'cultivate':
      return { date: open, with: 'shallow-disc' };
    case 'spray_off':
      return drill ? { days_before_drilling: 1 } : { date: open };
    case 'herbicides': {
      const list = fitting(library, { kind: 'herbicides' }, season.crop);
      const residual = list.find((e) => e.name.includes('residual')) ?? list[0];
      return residual && drill ? { programme: residual.name, days_after_drilling: 2 } : null;
    }
    case 'in_crop':
      return { date: Math.min(season.end - 30, (drill ? drill.day : season.open) + 60), with: (fitting(library, { kind: 'in_crop' })[0] ?? {}).name };
    case 'cover': {
      const sow = Math.max(season.open, season.open + 14);
      return drill && drill.day - sow > 60 ? { mix: library.covers[0].name, sow, destroy: Math.max(sow + 40, drill.day - 30) } : null;
    }
    default:
      return null;
  }
}

// survivals are resistance in trade words, with the share of the effect that is lost.
export const survivals = [
  ['none known', 0],
  ['some survive', 0.3],
  ['most survive', 0.8],
];
export const groups = [
  ['2', 'ALS sprays, the spring contact sprays in wheat'],
  ['1', 'ACCase sprays, the fops, dims and dens'],
  ['15', 'the residuals sprayed before the crop is up'],
];
