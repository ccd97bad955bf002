// What the page can do without: send a file as soon as it is chosen or dropped, and copy the command.
'use strict';
document.querySelectorAll('[data-quiet]').forEach(function (b) { b.hidden = true; });
document.querySelectorAll('input[data-send]').forEach(function (i) {
  i.addEventListener('change', function () { if (i.files.length) sent(i); });
});
// A file that is sent takes a while to be read: the page says so until the next one comes.
function sent(i) {
  var says = document.createElement('p'), most = i.dataset.send.split(' '), all = 0;
  var large = [].filter.call(i.files, function (f) { all += f.size; return f.size > most[0]; });
  says.setAttribute('role', 'status');
  says.className = 'holds';
  document.querySelectorAll('p.holds[role=status]').forEach(function (x) { x.remove(); });
  if (large.length || all > most[1]) { // which would be refused once it is there
    says.textContent = (large.length ? large.map(function (f) { return f.name; }).join(', ') + (large.length > 1 ? ' are' : ' is') + ' larger than ' + most[0] / 1048576 + ' MB'
      : 'All that is sent at a time may have ' + most[1] / 1048576 + ' MB') + ': nothing was sent. Save only the sheets or months that are needed in a file of their own.';
    i.value = '';
    i.form.after(says);
    return;
  }
  says.textContent = 'Sending and reading ' + [].map.call(i.files, function (f) { return f.name; }).join(', ') + ' … ';
  var stop = document.createElement('button');
  stop.type = 'button';
  stop.className = 'btn o';
  stop.textContent = 'Stop';
  stop.addEventListener('click', function () { window.stop(); i.value = ''; says.textContent = 'Stopped: nothing was taken.'; });
  says.append(stop);
  i.form.after(says);
  i.form.submit();
}
addEventListener('pageshow', function () { document.querySelectorAll('p.holds[role=status]').forEach(function (x) { x.remove(); }); });
document.querySelectorAll('[data-copy]').forEach(function (b) {
  if (!navigator.clipboard) return;
  b.hidden = false;
  b.addEventListener('click', function () {
    navigator.clipboard.writeText(document.getElementById(b.dataset.copy).textContent).then(function () { b.textContent = 'Copied'; });
  });
});
// What was sent and refused has an address of its own: Back and a reload lead there, and send nothing again.
document.querySelectorAll('[data-here]').forEach(function (x) { history.replaceState(null, '', x.dataset.here); });
// A page that the browser had put by is asked for again: what it showed may have been put away since.
addEventListener('pageshow', function (e) { if (e.persisted) location.reload(); });
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
  sent(to);
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
// In the grid Enter and the arrows go to the jar below or above, and what is pasted of a sheet fills as many boxes as it has cells.
document.querySelectorAll('.jar-grid').forEach(function (grid) {
  function boxes(tr) { return [].slice.call(tr.querySelectorAll('input')); }
  function at(x) { var tr = x.closest('tr'); return [[].indexOf.call(jarRows(), tr), boxes(tr).indexOf(x)]; }
  grid.addEventListener('keydown', function (e) {
    var by = { Enter: 1, ArrowDown: 1, ArrowUp: -1 }[e.key], p = by && at(e.target), to = by && jarRows()[p[0] + by];
    if (by && (to || e.key === 'Enter')) e.preventDefault();
    if (to) boxes(to)[p[1]].focus();
  });
  grid.addEventListener('keypress', function (e) { if (e.key === 'Enter') e.preventDefault(); });
  grid.addEventListener('paste', function (e) {
    var lines = e.clipboardData.getData('text').replace(/[\r\n]+$/, '').split(/\r?\n/), p = at(e.target);
    if (lines.length < 2 && lines[0].indexOf('\t') < 0) return;
    e.preventDefault();
    lines.forEach(function (line, i) {
      while (jarRows().length <= p[0] + i && jarRows().length < 24) addJar();
      var tr = jarRows()[p[0] + i];
      if (tr) line.split('\t').forEach(function (v, k) { var x = boxes(tr)[p[1] + k]; if (x) x.value = v.trim(); });
    });
    e.target.dispatchEvent(new Event('input', { bubbles: true }));
  });
});
// Kept is what was typed over what the page held, field by field: where the page holds something newer, that stays.
function kept(name) {
  try { return JSON.parse(sessionStorage.getItem('typed ' + name)) || {}; } catch (e) { return {}; }
}
// Other windows hear of what is typed and not sent, but not what: the program must not end without a word.
function elsewhere(at) {
  try {
    if (at === undefined) return Date.now() - Number(localStorage.getItem('typing')) < 600000;
    localStorage.setItem('typing', at);
  } catch (e) { /* a closed store tells nothing */ }
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
  f.addEventListener('input', function () { keep(false); elsewhere(Date.now()); });
  f.addEventListener('submit', function () { keep(true); elsewhere(0); });
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
    i.value = ['jars', 'site', 'figures'].some(function (n) { var k = kept(n); return k.all && !k.sent && Object.keys(k.all).length; }) || elsewhere() ? 'yes' : '';
  });
});
// The program is ended in one window: the others say so, since nothing that they ask for is answered any more.
if ('ended' in document.body.dataset) {
  try { localStorage.setItem('ended', Date.now()); } catch (e) { /* a closed store tells nothing */ }
}
addEventListener('storage', function (e) {
  if (e.key !== 'ended' || document.getElementById('gone')) return;
  var says = document.createElement('p');
  says.id = 'gone';
  says.className = 'holds';
  says.setAttribute('role', 'alert');
  says.textContent = 'The program was ended in another window. What stands here can be read and printed, but nothing more can be asked for or saved.';
  document.getElementById('matter').before(says);
  document.querySelectorAll('form button, form input, form select').forEach(function (x) { x.disabled = true; });
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
      old.replaceWith(n);
    });
    page.querySelectorAll('[data-slide]').forEach(function (n) {
      var old = document.querySelector('[data-slide="' + n.dataset.slide + '"]');
      if (!old || old.contains(document.activeElement) && n.dataset.slide === but) return;
      n.hidden = false;
      old.replaceWith(n);
      move(n);
    });
    document.querySelectorAll('.tray a, .drop [name=desk], #away [name=desk]').forEach(function (n, i) {
      var by = page.querySelectorAll('.tray a, .drop [name=desk], #away [name=desk]')[i];
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
    ['answer', 'more'].forEach(function (id) { document.getElementById(id).setAttribute('aria-busy', 'true'); }); // until it is right
    fetch(address, { signal: under.signal, headers: quick ? { 'Jarwright-Moves': '1' } : {} }).then(function (r) {
      return r.text().then(function (text) {
        if (mine !== turn) return;
        var page = new DOMParser().parseFromString(text, 'text/html');
        if (page.querySelector('meta[http-equiv=refresh]')) { later = setTimeout(function () { ask(address, but, quick); }, 500); return; }
        if (!page.getElementById('answer')) { location.replace(r.url); return; }
        history.replaceState(null, '', r.url);
        swap(page, but);
        ['answer', 'more'].forEach(function (id) { document.getElementById(id).removeAttribute('aria-busy'); });
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
  if (document.body.dataset.again) setTimeout(function () { location.reload(); }, 1000 * document.body.dataset.again); // without scripts its head asks
  document.querySelectorAll('[data-print]').forEach(function (b) { b.hidden = false; b.addEventListener('click', function () { print(); }); });
})();
