// A draft that survives a reload and a tab that was put away.

const place = 'rundown-draft';

export const keep = (draft) => {
  try {
    sessionStorage.setItem(place, JSON.stringify(draft));
  } catch {
    /* full: the text itself is still in the page */
  }
};

export const forget = () => sessionStorage.removeItem(place);

// kept is what was kept by the same start of the program; null for none.
export function kept(start) {
  try {
    const draft = JSON.parse(sessionStorage.getItem(place));
    return draft && draft.start === start ? draft : null;
  } catch {
    return null;
  }
}
