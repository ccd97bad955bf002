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
document.querySelectorAll('form[data-keep]').forEach(function (f) {
  var key = 'typed ' + f.dataset.keep, age = 600000;
  function fields() { return [].filter.call(f.elements, function (x) { return x.name && x.type !== 'hidden' && x.type !== 'file'; }); }
  function keep() {
    try { sessionStorage.setItem(key, JSON.stringify({ at: Date.now(), rows: jarRows().length, all: fields().map(function (x) { return [x.name, x.type === 'checkbox' ? x.checked : x.value]; }) })); } catch (e) { /* a full or closed store keeps nothing */ }
  }
  f.addEventListener('input', keep);
  if (!('fresh' in f.dataset)) return keep();
  var had = null;
  try { had = JSON.parse(sessionStorage.getItem(key)); } catch (e) { had = null; }
  if (!had || Date.now() - had.at > age) return;
  while (jarRows().length && jarRows().length < had.rows) addJar();
  fields().forEach(function (x, i) {
    if (!had.all[i] || had.all[i][0] !== x.name) return;
    if (x.type === 'checkbox') x.checked = had.all[i][1]; else if (x.type !== 'submit') x.value = had.all[i][1];
  });
});
document.querySelectorAll('[data-forget]').forEach(function (a) {
  a.addEventListener('click', function () { try { sessionStorage.removeItem('typed ' + a.dataset.forget); } catch (e) { /* none was kept */ } });
});
// A slider asks the same page anew at each move: the latest answer alone is shown, and the address with it.
(function () {
  var form = document.getElementById('ask');
  var turn = 0, later = 0, under = null;
  function swap(page, but) {
    page.querySelectorAll('[data-swap]').forEach(function (n) {
      var old = document.getElementById(n.id);
      if (!old) return;
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
