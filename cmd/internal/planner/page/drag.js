// Moving a mark: by mouse and finger, and by keys.
import { short } from './days.js';
import { stepped, within } from './strip.js';

const settle = 300; // ms without a key after which steps are one change

function bubble(strip, mark, x, day) {
  const b = strip.svg.querySelector('.bubble');
  b.removeAttribute('hidden');
  b.querySelector('text').textContent = short(day);
  b.setAttribute('transform', `translate(${Math.min(Math.max(x, 30), strip.width - 30)} 14)`);
  strip.svg.append(b);
}

const hide = (strip) => strip.svg.querySelector('.bubble').setAttribute('hidden', '');

// shown puts the mark where it would be, before the plan says so.
function shown(element, strip, mark, day) {
  const x = strip.scale.x(day);
  element.setAttribute('transform', element.getAttribute('transform').replace(/translate\(\S+/, `translate(${x}`));
  element.setAttribute('aria-valuenow', day);
  element.setAttribute('aria-valuetext', short(day));
  bubble(strip, mark, x, day);
}

function pointers(page, element, season, index, mark, strip) {
  let drag = null;
  // A finger on a mark moves the mark and not the page; touch-action alone does not reach every shape.
  element.addEventListener('touchstart', (e) => e.preventDefault(), { passive: false });
  element.addEventListener('pointerdown', (e) => {
    if (e.button !== 0 || page.locked(season)) return;
    const box = strip.svg.getBoundingClientRect();
    const each = strip.width / box.width;
    drag = { id: e.pointerId, from: e.clientX, each, day: mark.day, moved: false };
    element.setPointerCapture(e.pointerId);
  });
  element.addEventListener('pointermove', (e) => {
    if (!drag || e.pointerId !== drag.id) return;
    const by = (e.clientX - drag.from) * drag.each;
    if (!drag.moved && Math.abs(by) < 4) return;
    drag.moved = true;
    drag.day = within(mark, strip.scale.day(strip.scale.x(mark.day) + by));
    element.classList.add('dragged');
    shown(element, strip, mark, drag.day);
  });
  const end = (e) => {
    if (!drag || e.pointerId !== drag.id) return;
    const { moved, day } = drag;
    drag = null;
    element.classList.remove('dragged');
    hide(strip);
    if (!moved) page.choose(index, mark.id);
    else if (e.type === 'pointerup' && day !== mark.day) {
      page.chosen = { season: index, mark: mark.id };
      page.move(season, mark.id, day);
    } else page.draw();
  };
  element.addEventListener('pointerup', end);
  element.addEventListener('pointercancel', end);
}

function keys(page, element, season, index, mark, strip) {
  let day = mark.day;
  let timer = 0;
  const make = () => {
    clearTimeout(timer);
    timer = 0;
    page.unmade = null;
    hide(strip);
    if (day !== mark.day) {
      page.chosen = { season: index, mark: mark.id };
      page.move(season, mark.id, day);
    }
  };
  element.addEventListener('keydown', (e) => {
    if (e.key === 'Enter' || e.key === ' ') {
      e.preventDefault();
      if (timer) make();
      else page.choose(index, mark.id);
      return;
    }
    const to = stepped({ ...mark, day }, e.key, e.shiftKey);
    if (to === null || page.locked(season)) return;
    e.preventDefault();
    day = to;
    shown(element, strip, mark, day);
    clearTimeout(timer);
    timer = setTimeout(make, settle);
    page.unmade = make;
  });
  element.addEventListener('blur', () => {
    if (timer) make();
  });
}

export function movable(page, element, season, index, mark, strip) {
  pointers(page, element, season, index, mark, strip);
  keys(page, element, season, index, mark, strip);
}
