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
