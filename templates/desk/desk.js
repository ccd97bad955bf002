// What the page can do without: send a file as soon as it is chosen or dropped, and copy the command.
'use strict';
document.querySelectorAll('[data-quiet]').forEach(function (b) { b.hidden = true; });
document.querySelectorAll('input[data-send]').forEach(function (i) {
  i.addEventListener('change', function () { if (i.files.length) i.form.submit(); });
});
document.querySelectorAll('[data-copy]').forEach(function (b) {
  if (!navigator.clipboard) return;
  b.hidden = false;
  b.addEventListener('click', function () {
    navigator.clipboard.writeText(document.getElementById(b.dataset.copy).textContent).then(function () { b.textContent = 'Copied'; });
  });
});
// A file may be dropped anywhere on the page.
var over = 0, vessel = document.querySelector('.vessel');
function lit(by) { over = Math.max(0, over + by); if (vessel) vessel.classList.toggle('over', over > 0); }
document.addEventListener('dragenter', function () { lit(1); });
document.addEventListener('dragleave', function () { lit(-1); });
document.addEventListener('dragover', function (e) { e.preventDefault(); });
document.addEventListener('drop', function (e) {
  e.preventDefault(); lit(-over);
  var to = document.querySelector('input[data-send]');
  if (!to || !e.dataTransfer.files.length) return;
  to.files = e.dataTransfer.files;
  to.form.submit();
});
// What is typed into a form outlives a reload, in this window alone; more jars need no new page.
document.documentElement.classList.add('js');
function jarRows() { return document.querySelectorAll('tr[data-jar]'); }
function addJar() {
  var all = jarRows(), last = all[all.length - 1], row = last.cloneNode(true), no = all.length + 1;
  row.querySelector('th').textContent = no;
  row.querySelectorAll('.wrong').forEach(function (x) { x.remove(); });
  row.querySelectorAll('input').forEach(function (i) {
    i.value = '';
    i.name = i.name.replace(/-\d+$/, '-' + no);
    i.removeAttribute('aria-invalid');
    i.removeAttribute('aria-describedby');
    i.setAttribute('aria-label', i.getAttribute('aria-label').replace(/^Jar \d+/, 'Jar ' + no));
  });
  last.parentNode.appendChild(row);
}
document.querySelectorAll('[data-more]').forEach(function (b) {
  b.addEventListener('click', function (e) {
    e.preventDefault();
    for (var n = 0; n < 6 && jarRows().length < 24; n++) addJar();
    b.hidden = jarRows().length >= 24;
  });
});
// Kept is what was typed over what the page held, field by field: where the page holds something newer, that stays.
function kept(name) {
  try { return JSON.parse(sessionStorage.getItem('typed ' + name)) || {}; } catch (e) { return {}; }
}
document.querySelectorAll('form[data-keep]').forEach(function (f) {
  var name = f.dataset.keep, age = 600000, had = kept(name), held = {};
  function fields() { return [].filter.call(f.elements, function (x) { return x.name && /^(text|date|select-one|checkbox)$/.test(x.type); }); }
  function of(x) { return x.type === 'checkbox' ? String(x.checked) : x.value; }
  function was(x) { return x.name in held ? held[x.name] : ''; }
  function keep(sent) {
    var all = {};
    fields().forEach(function (x) { if (of(x) !== was(x)) all[x.name] = [was(x), of(x)]; });
    try { sessionStorage.setItem('typed ' + name, JSON.stringify({ at: Date.now(), units: f.dataset.units, rows: jarRows().length, sent: sent, all: all })); } catch (e) { /* a full or closed store keeps nothing */ }
  }
  fields().forEach(function (x) { held[x.name] = of(x); });
  f.addEventListener('input', function () { keep(false); });
  f.addEventListener('submit', function () { keep(true); });
  if (!had.all || Date.now() - had.at > age || had.units !== f.dataset.units) return;
  if (had.sent && document.getElementById('faults')) { // it came back to be put right
    had.sent = false;
    try { sessionStorage.setItem('typed ' + name, JSON.stringify(had)); } catch (e) { /* none is kept */ }
  }
  // What was sent is the page's own: it comes back by Back and reload alone, not into a form that is begun anew.
  var came = performance.getEntriesByType('navigation')[0];
  if (had.sent && came && came.type === 'navigate') return;
  while (jarRows().length && jarRows().length < had.rows) addJar();
  fields().forEach(function (x) {
    var v = had.all[x.name];
    if (!v || v[0] !== was(x)) return;
    if (x.type === 'checkbox') x.checked = v[1] === 'true';
    else if (x.type !== 'select-one' || [].some.call(x.options, function (o) { return o.value === v[1]; })) x.value = v[1];
  });
});
document.querySelectorAll('[data-forget]').forEach(function (a) {
  a.addEventListener('click', function () { try { sessionStorage.removeItem('typed ' + a.dataset.forget); } catch (e) { /* none was kept */ } });
});
// The program is asked to end: whether something typed would be lost with it.
document.querySelectorAll('[data-typed]').forEach(function (i) {
  i.form.addEventListener('submit', function () {
    i.value = ['jars', 'site'].some(function (n) { var k = kept(n); return k.all && !k.sent && Object.keys(k.all).length; }) ? 'yes' : '';
  });
});
// What was asked to be saved is saved at once, and not again by a reload.
document.querySelectorAll('[data-begin]').forEach(function (a) {
  var here = new URL(location.href);
  here.searchParams.delete('saved');
  history.replaceState(null, '', here);
  a.click();
});
// On a phone what stands below an answer is folded under its headings, with the number of its cautions.
function fold() {
  if (!matchMedia('(max-width: 640px)').matches) return;
  document.querySelectorAll('#rest .row:not(.working)').forEach(function (row) {
    var h = row.querySelector('.side > h2'), m = row.querySelector('.matter');
    if (!h || !m || h.querySelector('button')) return;
    var b = document.createElement('button'), n = m.querySelectorAll('.tag.caution, .tag.stop, .tag.error').length;
    b.type = 'button';
    b.className = 'fold';
    b.append.apply(b, h.childNodes);
    if (n) b.append(' (' + n + (n > 1 ? ' cautions)' : ' caution)'));
    b.setAttribute('aria-expanded', 'false');
    m.hidden = true;
    b.addEventListener('click', function () { m.hidden = !m.hidden; b.setAttribute('aria-expanded', String(!m.hidden)); });
    h.append(b);
  });
}
fold();
// A slider asks the same page anew at each move: the latest answer alone is shown, and the address with it.
(function () {
  var form = document.getElementById('ask');
  var turn = 0, later = 0, under = null;
  function swap(page, but) {
    page.querySelectorAll('[data-swap]').forEach(function (n) {
      var old = document.getElementById(n.id);
      if (!old || old.isEqualNode(n)) return; // what is the same keeps the focus that it has
      if (n.id === 'more' && n.querySelector('[data-later]') && old.querySelector('#short')) n.querySelector('#short').replaceWith(old.querySelector('#short'));
      old.replaceWith(n);
    });
    page.querySelectorAll('[data-slide]').forEach(function (n) {
      var old = document.querySelector('[data-slide="' + n.dataset.slide + '"]');
      if (!old || old.contains(document.activeElement) && n.dataset.slide === but) return;
      n.hidden = false;
      old.replaceWith(n);
      move(n);
    });
    document.querySelectorAll('.tray a, .drop [name=desk]').forEach(function (n, i) {
      var by = page.querySelectorAll('.tray a, .drop [name=desk]')[i];
      if (by && by.href) n.href = by.href; else if (by) n.value = by.value;
    });
    document.title = page.title;
    fold();
  }
  function ask(address, but, quick) {
    var mine = ++turn;
    if (under) under.abort();
    under = new AbortController();
    clearTimeout(later);
    var answer = document.getElementById('answer');
    answer.setAttribute('aria-busy', 'true');
    fetch(address, { signal: under.signal, headers: quick ? { 'Jarwright-Moves': '1' } : {} }).then(function (r) {
      return r.text().then(function (text) {
        if (mine !== turn) return;
        var page = new DOMParser().parseFromString(text, 'text/html');
        if (page.querySelector('meta[http-equiv=refresh]')) { later = setTimeout(function () { ask(address, but, quick); }, 500); return; }
        if (!page.getElementById('answer')) { location.replace(r.url); return; }
        history.replaceState(null, '', r.url);
        swap(page, but);
        document.getElementById('answer').removeAttribute('aria-busy');
        if (document.querySelector('#short[data-later]') || page.querySelector('#short[data-later]') || quick) later = setTimeout(function () { ask(r.url, but, false); }, 400);
      });
    }).catch(function (e) { if (e.name !== 'AbortError' && mine === turn) location.assign(address); });
  }
  function move(slide) {
    var i = slide.querySelector('input'), says = slide.querySelector('output');
    var values = JSON.parse(i.dataset.values), words = JSON.parse(i.dataset.words), last = i.value;
    i.addEventListener('input', function () {
      if (i.value === last) return;
      last = i.value;
      says.textContent = words[last];
      i.setAttribute('aria-valuetext', words[last]);
      var q = new URLSearchParams(new FormData(form));
      q.set(slide.dataset.slide, values[last]);
      ask(form.action + '?' + q, slide.dataset.slide, true);
    });
  }
  var slides = document.querySelectorAll('[data-slide]');
  if (form && slides.length && window.fetch && window.AbortController) {
    slides.forEach(function (s) { s.hidden = false; move(s); });
    document.querySelector('.typed').open = false;
    if (document.querySelector('#short[data-later]')) later = setTimeout(function () { ask(location.href, '', false); }, 600);
  }
  document.querySelectorAll('[data-print]').forEach(function (b) { b.hidden = false; b.addEventListener('click', function () { print(); }); });
})();
