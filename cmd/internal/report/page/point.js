// Shows what a spot of a picture says when it is pointed at or has the keyboard;
// the arrow keys go from spot to spot of one picture.
(function () {
  'use strict';
  var box = document.getElementById('says');
  // Over the spot, or under it where there is no room, never on it.
  function show(spot, x) {
    box.textContent = spot.dataset.says;
    box.hidden = false;
    var w = box.offsetWidth, h = box.offsetHeight, r = spot.querySelector('.plane').getBoundingClientRect();
    box.style.left = Math.min(Math.max(8, x - w / 2), document.documentElement.clientWidth - w - 8) + 'px';
    box.style.top = (r.top - h - 6 < 8 ? r.bottom + 6 : r.top - h - 6) + 'px';
  }
  function hide() { box.hidden = true; }
  document.querySelectorAll('figure svg').forEach(function (svg) {
    var spots = Array.prototype.slice.call(svg.querySelectorAll('.spot'));
    var stops = spots.filter(function (s) { return s.hasAttribute('tabindex'); });
    spots.forEach(function (spot) {
      var title = spot.querySelector('title');
      spot.dataset.says = title.textContent;
      if (spot.hasAttribute('aria-label')) title.remove();
      else title.textContent = '';
      spot.addEventListener('pointerenter', function (e) { show(spot, e.clientX); });
      spot.addEventListener('pointermove', function (e) { show(spot, e.clientX); });
      spot.addEventListener('pointerleave', hide);
      spot.addEventListener('blur', hide);
      spot.addEventListener('focus', function () {
        var r = (spot.querySelector('.at') || spot).getBoundingClientRect();
        show(spot, r.left + r.width / 2);
      });
    });
    stops.forEach(function (spot, i) {
      spot.setAttribute('tabindex', i === 0 ? '0' : '-1');
      spot.addEventListener('keydown', function (e) {
        var step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[e.key];
        if (e.key === 'Escape') return hide();
        if (!step) return;
        var next = stops[(i + step + stops.length) % stops.length];
        spot.setAttribute('tabindex', '-1');
        next.setAttribute('tabindex', '0');
        next.focus();
        e.preventDefault();
      });
    });
  });
  // Chapters that are folded on a phone, and open where there is room, and on paper.
  var folds = document.querySelectorAll('.fold');
  function open() { folds.forEach(function (f) { f.open = true; }); }
  if (window.matchMedia('(min-width: 37.51rem)').matches) open();
  window.addEventListener('beforeprint', open);
  window.addEventListener('scroll', hide, { passive: true });
})();
